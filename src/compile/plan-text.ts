import { byCycle, byDraw, byGroup, type Graph } from "./graph.ts";
import type { Plan, Term, Transfer } from "./plan.ts";
import { nodesUnder } from "./scalars.ts";

/**
 * A plan as text, for reading: the nodes it uses with what they vary with (d draw, g group, c cycle), then the start,
 * each run of cycles and what it does. Rows are written `x3` at the opening and `y3` at the closing, sums `x{1 2}`.
 */
export function planText(plan: Plan): string {
  const numbers = new Map<Transfer, number>();
  const number = (transfer: Transfer): number => {
    const known = numbers.get(transfer) ?? numbers.size;
    numbers.set(transfer, known);
    return known;
  };
  const runs = plan.segments.map(({ from, to, instants, clear, transfer }) => {
    const first = instants.map(
      (step) =>
        `instant ${number(step.transfer)} in groups ${listed(step.firing.flatMap((yes, g) => (yes ? [g] : [])))}`,
    );
    const emptied = clear.length === 0 ? [] : [`empty ${listed(clear)}`];
    return `cycles ${from} to ${to - 1}: ${[...first, ...emptied, `transfer ${number(transfer)}`].join(", ")}`;
  });
  if (plan.last !== null) runs.push(`boundary ${plan.cycles}: transfer ${number(plan.last)}`);
  const roots = [
    ...plan.start.shares.map(({ coefficient }) => coefficient),
    ...plan.tallies.flatMap(({ worth }) => worth.map(({ factor }) => factor)),
    ...[...numbers.keys()].flatMap(({ flows, counts, checks }) => [
      ...flows.map(({ coefficient }) => coefficient),
      ...counts.flatMap(({ terms }) => terms.map(({ coefficient }) => coefficient)),
      ...checks.map(({ guard }) => guard),
    ]),
  ];
  return [
    ...nodesUnder(plan.graph, roots).map((node) => nodeText(plan.graph, node)),
    ...plan.weights.map(
      ({ discount, point, scale, boundary }, k) =>
        `w${k} = discount of ${discount} at ${point} * ${scale}${boundary ? " * weight of the boundary" : ""}`,
    ),
    ...plan.tallies.map(({ weight, worth }, k) => {
      const accounts = worth.map(({ account, factor }) => `account ${account} by ${factor}`);
      return `tally ${k} weighted w${weight}: ${accounts.join(", ")}`;
    }),
    `start: ${plan.start.shares.map(({ state, coefficient }) => `x${state} = ${coefficient}`).join(", ")}`,
    ...runs,
    ...[...numbers].flatMap(([transfer, k]) => transferText(plan, transfer, k)),
  ].join("\n");
}

const listed = (list: readonly number[]): string => (list.length === 0 ? "none" : list.join(" "));

function nodeText(graph: Graph, number: number): string {
  const { op, ...parts } = graph.nodes[number]!;
  const bits = graph.axes[number]!;
  const axes = `${bits & byDraw ? "d" : ""}${bits & byGroup ? "g" : ""}${bits & byCycle ? "c" : ""}`;
  return [`${number} =`, op, ...Object.values(parts), axes === "" ? "" : `[${axes}]`].join(" ").trim();
}

function transferText(plan: Plan, transfer: Transfer, k: number): readonly string[] {
  const row = (bank: "x" | "y", at: number): string =>
    at < plan.states ? `${bank}${at}` : `${bank}{${transfer.sets[at - plan.states]!.join(" ")}}`;
  const flows = transfer.writes.map((target) => {
    const own = transfer.flows.filter((flow) => flow.target === target);
    const parts = own.map(({ coefficient, from }) => `${coefficient} * ${row("x", from)}`);
    return `  y${target} = ${parts.length === 0 ? "0" : parts.join(" + ")}`;
  });
  const term = ({ coefficient, opening, closing }: Term): string => {
    const rows = [...(opening < 0 ? [] : [row("x", opening)]), ...(closing < 0 ? [] : [row("y", closing)])];
    return `${coefficient} * ${rows.length === 2 ? `(${rows.join(" + ")})` : rows.join("")}`;
  };
  const counts = transfer.counts.map(({ tally, terms }) => `  tally ${tally} += ${terms.map(term).join(" + ")}`);
  const checks = transfer.checks.map(({ guard }) => guard);
  return [`transfer ${k}:`, ...flows, ...counts, `  checks ${listed(checks)}`];
}
