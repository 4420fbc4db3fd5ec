import { expect, test } from "vitest";
import { byGroup, Graph, operands } from "../../../src/compile/graph.ts";
import { ClusterSearch } from "../../../src/compile/kernel/clusters.ts";
import { Lens } from "../../../src/compile/kernel/lens.ts";
import { anything } from "../../../src/compile/kernel/ranges.ts";

const graph = new Graph([]);
const draw = graph.component(0);
const time = graph.time("time");
const sex = graph.attribute(0);
const weight = graph.attribute(1);
const site = graph.attribute(2);
const now = graph.two("multiply", draw, time);
const risk = graph.two("power", draw, graph.two("multiply", weight, now));
const onset = graph.one("expm1", graph.two("add", risk, now));
const death = graph.two("multiply", sex, now);
const both = graph.two("multiply", death, onset);
const local = graph.two("add", site, now);

/** The search in groups of these attributes: sex, weight, site. */
function searchOf(groups: readonly (readonly number[])[]): ClusterSearch {
  return new ClusterSearch(
    new Lens({
      graph,
      tables: [],
      groups,
      axes: graph.axes,
      resolved: (node) => node,
      operands: (node) => operands(graph.nodes[node]!),
      source: () => ({ region: "row", position: 0 }),
      range: (node) => (operands(graph.nodes[node]!).length === 0 ? anything : null),
    }),
  );
}

const crossed = [0, 1].flatMap((s) => [30, 35, 40].map((w, k) => [s, w, 10 * s + k]));

test("groups that have in common what most of the work depends on stand together", () => {
  const found = searchOf(crossed).best([both, local])!;
  expect(found.groups).toEqual([
    [0, 3],
    [1, 4],
    [2, 5],
  ]);
  expect([risk, onset, now].map((node) => found.shares(node))).toEqual([true, true, true]);
  expect([death, both, local].map((node) => found.shares(node))).toEqual([false, false, false]);
});

test("a value that every group has alike makes one cluster of all", () => {
  const same = crossed.map(([s, , at]) => [s!, 35, at!]);
  const found = searchOf(same).best([both])!;
  expect(found.groups).toEqual([[0, 1, 2, 3, 4, 5]]);
  expect(graph.axes[onset]! & byGroup).toBe(byGroup);
  expect(found.shares(onset)).toBe(true);
  expect(found.shares(both)).toBe(false);
});

test("there is nothing to find where little is shared, in one group, or in too many to call each", () => {
  expect(searchOf(crossed).best([death, local])).toBe(null);
  expect(searchOf([[0, 30, 0]]).best([both])).toBe(null);
  expect(searchOf(Array.from({ length: 65 }, (_, g) => [g, 30, g])).best([both])).toBe(null);
  expect(searchOf(crossed.map(([s, , at]) => [s!, 20 + at!, at!])).best([both])).toBe(null);
});
