import { tableText } from "../../src/report/table-text.ts";
import { machineText } from "./machine.ts";
import { type BenchReport, stepCost, type Way } from "./report.ts";
import type { Doublings } from "./scaling.ts";
import type { Spread } from "./statistics.ts";

/** A number with three digits that count, without a power of ten: 0.0123, 1.23, 123, 1,230. */
export function figure(value: number): string {
  if (value === 0) return "0";
  const rounded = Number(value.toPrecision(3));
  const decimals = Math.max(0, 2 - Math.floor(Math.log10(Math.abs(rounded))));
  return rounded.toLocaleString("en", { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
}

const count = (value: number): string => value.toLocaleString("en");

const quartiles = ({ lower, upper }: Spread): string => `${figure(lower)} to ${figure(upper)}`;

/** The whole report as text: a table for each part, with what must be said beside it. */
export function reportText(report: BenchReport): string {
  return [
    workloadText(report),
    demoText(report),
    ...(report.growth === null ? [] : [growthText(report.growth)]),
    `Measured ${report.measured.slice(0, 10)} on ${machineText(report.machine)}.`,
  ].join("\n\n");
}

function workloadText({ workload: { draws, ways, absent } }: BenchReport): string {
  const plain = ways[0]!;
  const ratio = (way: Way, which: "user" | "wall"): string => figure(way[which].median / plain[which].median);
  const rows = ways.map((way) => [
    way.label,
    figure(way.user.median),
    quartiles(way.user),
    figure(way.wall.median),
    ratio(way, "user"),
    ratio(way, "wall"),
    String(way.user.count),
  ]);
  const header = ["Seconds", "User", "Quartiles", "Wall", "User / plain C", "Wall / plain C", "Rounds"];
  const part = ways.filter((way) => way.draws < draws);
  return [
    `Reference workload: ${count(draws)} draws, 4 strategies, 480 cycles, 14 states`,
    tableText({ header, rows }),
    ...part.map((way) => `  ${way.label}: from ${count(way.draws)} draws, told for ${count(draws)}`),
    ...absent.map(({ label, reason }) => `  not measured: ${label}: ${reason}`),
  ].join("\n");
}

function demoText({ demo, workload, million }: BenchReport): string {
  const rows = demo.ways.map((way) => [
    way.label,
    figure(way.user.median),
    quartiles(way.user),
    figure(way.wall.median),
    String(way.user.count),
  ]);
  const lines = [
    "The demo, balloon-pathways",
    tableText({ header: ["Seconds", "User", "Quartiles", "Wall", "Rounds"], rows }),
  ];
  if (million !== null)
    lines.push(
      `  ${count(million.draws)} draws, the whole command: ${figure(million.user)} s user, ${figure(million.wall)} s wall, ${count(million.memoryMb)} MB at most`,
    );
  const own = workload.ways.find(({ id }) => id === "steelyard");
  const run = demo.ways.find(({ id }) => id === "rows");
  if (own === undefined || run === undefined) return lines.join("\n");
  const [there, here] = [stepCost(own, workload.draws, workload.steps), stepCost(run, demo.draws, demo.steps)];
  lines.push(
    `  a state, strategy and cycle of a row and group: ${figure(here.all)} ns, of the workload ${figure(there.all)} ns, ratio ${figure(here.all / there.all)};`,
    `  counting only states in which anybody can be: ${figure(here.inhabited)} ns, ${figure(there.inhabited)} ns, ratio ${figure(here.inhabited / there.inhabited)}`,
  );
  return lines.join("\n");
}

function growthText({ around, axes }: Doublings): string {
  const rows = axes.flatMap(({ axis, sizes, user, ratios }) =>
    sizes.map((size, i) => [
      i === 0 ? axis : "",
      count(size[axis]),
      figure(user[i]!.median),
      quartiles(user[i]!),
      i === 0 ? "" : figure(ratios[i - 1]!),
    ]),
  );
  return [
    `Doubling: a generated ring of states; where not doubled, ${count(around.draws)} draws, ${around.cycles} cycles, ${around.states} states`,
    tableText({ header: ["Doubled", "Size", "User seconds", "Quartiles", "Times the one before"], rows }),
  ].join("\n");
}
