import { Findings } from "../errors.ts";
import { placeIn } from "../schema/document.ts";
import { type Bound, children, type Key } from "./bound.ts";
import type { Branch, Program } from "./program.ts";

/** All expressions a strategy may evaluate. Those of events and lines for other strategies are left out. */
function expressionsOf(program: Program, s: number): readonly Bound[] {
  const found: Bound[] = [];
  const branch = (node: Branch): void => {
    if (node.chance !== null) found.push(node.chance);
    for (const use of node.uses) found.push(use.amount, program.resources[use.resource]!.price);
    for (const child of node.children) branch(child);
  };
  for (const form of program.events) {
    if (!form.strategies[s]) continue;
    const { timing } = form;
    if (timing.when === "instant") {
      found.push(...timing.at);
      if (timing.shares !== null) found.push({ op: "input", input: timing.shares, strategy: null, key: null });
    }
    if (timing.when === "rate") found.push(timing.rate);
    if (timing.when === "crude") found.push(timing.incidence);
    branch(form.root);
  }
  for (const posting of program.postings) {
    if (posting.by !== "resource" && posting.strategies[s]) found.push(posting.amount);
  }
  for (const factor of program.factors) {
    for (const share of factor.start) if (share !== null) found.push(share);
  }
  for (const curve of program.curves) found.push(curve.node);
  return found;
}

/** Inputs (as `input/strategy`) that expressions read for a strategy, formulas followed. */
function inputsRead(program: Program, roots: readonly Bound[], s: number): ReadonlySet<string> {
  const read = new Set<string>();
  const seen = new Set<string>();
  const key = (k: Key | null): void => {
    if (k?.by === "choice") read.add(`${k.input}/${s}`);
  };
  const visit = (node: Bound, strategy: number): void => {
    if (node.op === "input") {
      read.add(`${node.input}/${node.strategy ?? strategy}`);
      key(node.key);
    } else if (node.op === "test") key(node.key);
    else if (node.op === "table") for (const k of node.keys) key(k);
    else if (node.op === "formula") {
      const of = node.strategy ?? strategy;
      const id = `${node.formula}/${of}`;
      if (!seen.has(id)) {
        seen.add(id);
        visit(program.formulas[node.formula]!.node, of);
      }
    }
    // a condition on a mark is settled per strategy, so the branch not taken needs no input
    if (node.op === "if" && node.test.op === "mark") {
      visit(node.test.strategies[strategy] ? node.yes : node.no, strategy);
      return;
    }
    for (const child of children(node)) visit(child, strategy);
  };
  for (const root of roots) visit(root, s);
  return read;
}

/**
 * Throws missing-cells for every input that a compared strategy reads but the scenario does not give for it.
 */
export function checkUsage(program: Program): void {
  const findings = new Findings();
  for (const s of program.strategies.keys()) {
    const read = inputsRead(program, expressionsOf(program, s), s);
    if (!program.analysis.compare.includes(s)) continue;
    for (const id of read) {
      const [input, strategy] = id.split("/").map(Number);
      const info = program.inputs[input!]!;
      const missing = info.offsets[strategy!]!.flatMap((offset, cell) =>
        offset < 0 ? [cellText(program, input!, strategy!, cell)] : [],
      );
      if (missing.length > 0)
        findings.add(
          placeIn(program.scenario, ["inputs", info.name], true),
          "missing-cells",
          `values of ${info.name}`,
          missing,
        );
    }
  }
  findings.throwAny();
}

function cellText(program: Program, input: number, strategy: number, cell: number): string {
  const info = program.inputs[input]!;
  const parts = [
    ...(info.byStrategy ? [program.strategies[strategy]!.id] : []),
    ...(info.cells === null ? [] : [info.cells[cell]!]),
  ];
  return parts.length === 0 ? info.name : parts.join(".");
}

/** Names of inputs that no expression of any strategy reads; a hint for the author, not a mistake. */
export function unusedInputs(program: Program): readonly string[] {
  const read = new Set<number>();
  for (const s of program.strategies.keys()) {
    for (const id of inputsRead(program, expressionsOf(program, s), s)) read.add(Number(id.split("/")[0]));
    for (const factor of program.factors) {
      for (const level of factor.levels) {
        if (level.lastsNode === null) continue;
        for (const id of inputsRead(program, [level.lastsNode], s)) read.add(Number(id.split("/")[0]));
      }
    }
  }
  return program.inputs.filter((input) => !read.has(input.index)).map((input) => input.name);
}
