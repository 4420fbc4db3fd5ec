import type { Audience, Draft, FactorPlan, Section, Tree } from "./draft.ts";
import { penFor } from "./expressions.ts";
import { readInput, shareVector, structuralSpan } from "./inputs.ts";
import type { Yields } from "./pen.ts";
import { count, duration, periods, share } from "./quantities.ts";

const timings = ["at", "every", "rate", "crude", "chance", "one_of", "ends", "after"] as const;
type Timing = (typeof timings)[number];

/** A random event under a new name: one form, or cases of which the first that fits applies. */
export function newEvent(draft: Draft): readonly [string, Section] {
  const { dice } = draft;
  const name = draft.name("event");
  draft.paths.push(name);
  const label = dice.chance(20) ? { label: `What happens in ${name}` } : {};
  if (!dice.chance(25)) return [name, { ...randomForm(draft, name, draft.strategies), ...label }];
  const ids = dice.chance(25) ? draft.someStrategies() : draft.strategies;
  const outer: Section = {
    ...(ids === draft.strategies ? {} : { strategies: ids }),
    ...(dice.chance(25) ? { while: randomWhile(draft) } : {}),
  };
  const cases = Array.from({ length: dice.whole(2, 3) }, () => randomForm(draft, name, ids));
  return [name, { ...outer, cases, ...label }];
}

/** One form of an event, for the strategies given or some of its own. */
function randomForm(draft: Draft, path: string, outer: readonly string[]): Section {
  const { dice } = draft;
  const form: Section = {};
  const ids = dice.chance(25) ? draft.someStrategies() : outer;
  if (ids !== outer) form["strategies"] = ids;
  const audience: Audience = { person: true, strategies: ids };
  const timing = dice.one(timings);
  const clocked = draft.factors.filter(({ levels }) => levels.some(({ clock }) => clock !== "none"));
  const lasting = draft.factors.filter(({ levels }) => levels.some(({ clock }) => clock === "lasts"));
  if (timing === "ends" && lasting.length > 0) {
    const factor = dice.one(lasting);
    const level = dice.one(factor.levels.filter(({ clock }) => clock === "lasts"));
    form["ends"] = { [factor.name]: level.name };
    if (dice.chance(20)) form["while"] = randomWhile(draft);
  } else if (timing === "after" && clocked.length > 0) after(draft, dice.one(clocked), form);
  else {
    when(draft, timing, form, audience);
    if (dice.chance(60)) form["while"] = randomWhile(draft);
  }
  what(draft, form, path, audience);
  return form;
}

/** `after` a whole number of cycles, for levels whose clocks run that far. */
function after(draft: Draft, factor: FactorPlan, form: Section): void {
  const { dice } = draft;
  const levels = dice.some(
    factor.levels.filter(({ clock }) => clock !== "none"),
    1,
    2,
  );
  const reach = Math.min(...levels.map((level) => level.reach));
  form["after"] = { [factor.name]: draft.span(dice.whole(1, reach)) };
  form["while"] = { [factor.name]: levels.map(({ name }) => name) };
}

/** When it happens, for the kinds of timing that ask nothing of the factors. */
function when(draft: Draft, timing: Timing, form: Section, audience: Audience): void {
  const { dice, calm } = draft;
  const pen = penFor(draft, audience);
  const instant = timing === "at" || (timing === "every" && calm);
  if (instant && calm) form["at"] = dice.one<Tree>([0, "0", [0], draft.span(0)]);
  else if (instant) {
    const single = () => dice.one<Tree>([0, structuralSpan(draft, 0, 6, true)]);
    const list = () => [0, 2, 5].slice(0, dice.whole(2, 3)).map((cycles) => (cycles === 0 ? 0 : draft.span(cycles)));
    if (dice.chance(50)) form["at"] = single();
    else {
      const instants = list();
      form["at"] = instants;
      if (dice.chance(50))
        form["shares"] = shareVector(
          draft,
          instants.map((_, i) => `part_${i + 1}`),
        );
    }
  } else if (timing === "every") {
    form["every"] = draft.span(dice.whole(1, 5));
    if (dice.chance(40)) form["from"] = draft.span(dice.whole(0, 4));
    if (dice.chance(40)) form["until"] = draft.span(dice.whole(4, 9));
  } else if (timing === "rate") form["rate"] = pen.write("rate", 4);
  // crude events of one state share a period, and all of them together stay below certainty
  else if (timing === "crude") form["crude"] = `${pen.write("chance per year")} * 0.1`;
  else if (timing === "one_of") return;
  else form["chance"] = pen.write(dice.one<Yields>(["case chance", ...periods.map((p) => `chance per ${p}` as const)]));
}

/** What it changes and uses. */
function what(draft: Draft, form: Section, path: string, audience: Audience): void {
  const { dice } = draft;
  const chanceOnly = !["at", "every", "rate", "crude", "chance", "ends", "after"].some((key) => key in form);
  if (("at" in form || "every" in form || "ends" in form || "after" in form) && dice.chance(25))
    form["chance"] = penFor(draft, audience).write("case chance");
  if (dice.chance("crude" in form ? 100 : 45)) moves(draft, form);
  if (dice.chance(40)) Object.assign(form, randomUses(draft, audience));
  const needed = "ends" in form && !("then" in form || "uses" in form || "chance" in form);
  if (chanceOnly || needed || dice.chance(45)) {
    const timed = chanceOnly && dice.chance(60);
    form["one_of"] = randomBranches(
      draft,
      path,
      1,
      timed ? `chance per ${dice.one(periods)}` : "case chance",
      audience,
    );
    // branches of a crude event that move nobody would not be counted
    if ("crude" in form) moves(draft, form);
  }
}

/** Exclusive branches whose chances sum to at most 1 for any legal input. */
function randomBranches(draft: Draft, above: string, depth: number, yields: Yields, audience: Audience): Section {
  const { dice } = draft;
  const names = dice.some(["harmed", "Failed", "placed", "plain"], 1, 3);
  const chances = branchChances(draft, names.length, yields, audience);
  const rest = dice.chance(50) ? dice.one(names) : null;
  const branches: Section = {};
  for (const [i, name] of names.entries()) {
    const path = `${above}.${name}`;
    if (!draft.paths.includes(path)) draft.paths.push(path);
    const branch: Section = name === rest ? { rest: true } : { chance: chances[i]! };
    if (dice.chance(50)) moves(draft, branch);
    if (dice.chance(30)) Object.assign(branch, randomUses(draft, audience));
    if (dice.chance(15)) branch["label"] = `The way ${name}`;
    if (depth < 3 && dice.chance(35))
      branch["one_of"] = randomBranches(draft, path, depth + 1, "case chance", audience);
    branches[name] = branch;
  }
  return branches;
}

function branchChances(draft: Draft, branches: number, yields: Yields, audience: Audience): readonly string[] {
  const { dice } = draft;
  const pen = penFor(draft, audience);
  if (branches === 1) return [pen.write(yields)];
  const split = (): readonly string[] =>
    Array.from({ length: branches }, () => `${pen.write(yields, 2)} * ${dice.one(["0.3", "0.15"])}`);
  if (yields !== "case chance") return split();
  return dice.way(split, () => {
    const cells = Array.from({ length: branches + dice.below(2) }, (_, i) => `way_${i + 1}`);
    const vector = shareVector(draft, cells);
    const damped = dice.chance(30) ? ` * ${pen.input(share)}` : "";
    return cells.slice(0, branches).map((cell) => `${vector}.${cell}${damped}`);
  });
}

/** A condition on the levels of some factors. */
export function randomWhile(draft: Draft): Tree {
  const { dice } = draft;
  if (dice.chance(10)) return "alive";
  return Object.fromEntries(
    dice.some(draft.factors, 1, 2).map(({ name, levels }) => {
      const words = levels.map((level) => level.name);
      return [name, dice.chance(60) ? dice.one(words) : dice.some(words, 1, words.length)];
    }),
  );
}

function moves(draft: Draft, node: Section): void {
  // biome-ignore lint/suspicious/noThenProperty: the word of the language
  node["then"] = randomMove(draft);
}

/** To dead, or to a level of one or more factors, which may be the one already held. */
function randomMove(draft: Draft): Tree {
  const { dice } = draft;
  if (dice.chance(20)) return "dead";
  return Object.fromEntries(dice.some(draft.factors, 1, 3).map(({ name, levels }) => [name, dice.one(levels).name]));
}

function randomUses(draft: Draft, audience: Audience): Section {
  const { dice } = draft;
  const used = dice.some(draft.resources, 1, 2);
  if (used.length === 0) return {};
  const uses = used.map(({ name, unit }): [string, Tree] => {
    if (unit === "minute" || unit === "hour")
      return [name, dice.one([`${dice.whole(5, 90)} minutes`, readInput(draft, duration, audience)])];
    return [
      name,
      dice.way<Tree>(
        () => dice.whole(1, 3),
        () => readInput(draft, count, audience),
        () => penFor(draft, audience).write("fraction", 2),
      ),
    ];
  });
  return { uses: Object.fromEntries(uses) };
}
