import type { Audience, ChoicePlan, Draft, InputPlan } from "./draft.ts";
import { partsOfOne, randomEvidence } from "./evidence.ts";
import { share, type Wanted, wantedKey } from "./quantities.ts";

/** An expression that reads an input of the kind wanted: one declared before, or a new one. */
export function readInput(draft: Draft, wanted: Wanted, audience: Audience): string {
  const { dice } = draft;
  const known = draft.inputs.filter(
    (input) =>
      input.key === wantedKey(wanted) &&
      audience.strategies.every((id) => input.strategies.includes(id)) &&
      (input.cells === null || reads(draft, input, audience).length > 0),
  );
  const input = known.length > 0 && dice.chance(80) ? dice.one(known) : newInput(draft, wanted, audience);
  return dice.one(reads(draft, input, audience));
}

/** A new input: one value, or one by strategy, over cells, or both. */
function newInput(draft: Draft, wanted: Wanted, audience: Audience): InputPlan {
  const { dice } = draft;
  const name = draft.name(wanted.is);
  const cells = dice.chance(25) ? dice.one(cellLists(draft, audience)) : null;
  const byStrategy = dice.chance(25);
  const vector = cells !== null && (wanted.is === "probability" || wanted.is === "share");
  const sums = vector && dice.chance(40);
  const strategies = byStrategy ? audience.strategies : draft.strategies;
  draft.declared[name] = {
    is: wanted.is,
    ...wanted.declared,
    ...(byStrategy ? { by: "strategy" } : {}),
    ...(cells === null ? {} : { over: cells }),
    ...(vector && !sums ? { each_sums: false } : {}),
    ...(dice.chance(20) ? { label: `The ${wanted.is.replace("_", " ")} ${name}` } : {}),
  };
  draft.evidence[name] = randomEvidence(draft, {
    ...{ name, wanted, cells, sums, fixed: false },
    strategies: byStrategy ? strategies : null,
  });
  const input: InputPlan = { name, key: wantedKey(wanted), byStrategy, strategies, cells, fixed: false };
  draft.inputs.push(input);
  return input;
}

/** Lists of names that can be cells: levels of a factor or attribute, options of a choice, words of their own. */
function cellLists(draft: Draft, audience: Audience): readonly (readonly string[])[] {
  return [
    ["first", "Second", "third"],
    ...(audience.person ? draft.factors.map(({ levels }) => levels.map(({ name }) => name)) : []),
    ...draft.attributes.flatMap(({ levels }) => (levels === null ? [] : [levels])),
    ...draft.choices.map(({ options }) => options),
  ];
}

/** All ways to read a value of an input. */
function reads(draft: Draft, input: InputPlan, audience: Audience): readonly string[] {
  const { name, cells } = input;
  const covers = (names: readonly string[]) => names.every((one) => cells?.includes(one));
  const keys = [
    ...(audience.person ? draft.factors : []).filter(({ levels }) => covers(levels.map((level) => level.name))),
    ...draft.attributes.filter(({ levels }) => levels !== null && covers(levels)),
    ...draft.choices.filter(({ options }) => covers(options)),
  ].map((key) => key.name);
  const [id] = input.strategies;
  const plain =
    cells === null ? [name] : [...cells.map((cell) => `${name}.${cell}`), ...keys.map((k) => `${name}[${k}]`)];
  if (!input.byStrategy || id === undefined) return plain;
  if (cells === null) return [name, name, `${name}.${id}`];
  return [
    ...plain,
    `${name}.${id}.${cells[0]}`,
    `${name}.${cells[0]}.${id}`,
    ...keys.map((k) => `${name}.${id}[${k}]`),
  ];
}

/** A choice input, with weights unless it sets structure. */
export function newChoice(draft: Draft, fixed: boolean): ChoicePlan {
  const { dice } = draft;
  const name = draft.name("regimen");
  const options = dice.one([
    ["short", "Extended"],
    ["short", "usual", "Extended"],
  ]);
  const byStrategy = dice.chance(30);
  const evidence = () => {
    if (fixed || dice.chance(30)) return { fixed: dice.one(options), why: "chosen" };
    const weights = partsOfOne(draft, options.length);
    return { chosen: Object.fromEntries(options.map((option, i) => [option, weights[i]!])) };
  };
  draft.declared[name] = { is: "choice", of: options, ...(byStrategy ? { by: "strategy" } : {}) };
  draft.evidence[name] = byStrategy
    ? { by: Object.fromEntries(draft.strategies.map((id) => [id, evidence()])), source: "invented" }
    : { ...evidence(), source: "invented" };
  const choice = { name, options, fixed };
  draft.choices.push(choice);
  return choice;
}

/**
 * A length of time in whole cycles without spread, as structure needs it: an expression. It may depend on the group
 * where `byGroup` says so.
 */
export function structuralSpan(draft: Draft, low: number, high: number, byGroup = false): string {
  const { dice } = draft;
  const plain = (): string => {
    const cycles = dice.whole(low, high);
    return cycles === 0 ? "0" : draft.span(cycles);
  };
  const input = (): string => {
    const known = draft.inputs.find(({ fixed, key }) => fixed && key === `duration ${low} ${high}`);
    if (known !== undefined && dice.chance(50))
      return known.byStrategy && dice.chance(30) ? `${known.name}.${draft.strategies[0]}` : known.name;
    const name = draft.name("dwell");
    const byStrategy = dice.chance(50);
    const one = () => ({ fixed: draft.span(dice.whole(low, high)), why: "sets structure" });
    draft.declared[name] = { is: "duration", ...(byStrategy ? { by: "strategy" } : {}) };
    draft.evidence[name] = byStrategy
      ? { by: Object.fromEntries(draft.strategies.map((id) => [id, one()])), source: "invented" }
      : { ...one(), source: "invented" };
    draft.inputs.push({
      ...{ name, byStrategy, strategies: draft.strategies, cells: null, fixed: true },
      key: `duration ${low} ${high}`,
    });
    return name;
  };
  const tests = [
    ...draft.choices.filter((choice) => choice.fixed).map(({ name, options }) => `${name} == ${options[0]}`),
    ...draft.marks.keys(),
  ];
  if (byGroup && dice.chance(30) && draft.attributes.some(({ name }) => name === "sex"))
    return `sex == female ? ${plain()} : ${input()}`;
  return dice.way(
    plain,
    input,
    () => (low > 0 ? `min(${plain()}, ${input()})` : input()),
    () => (tests.length === 0 ? input() : `${dice.one(tests)} ? ${plain()} : ${input()}`),
  );
}

/** The name of an input of shares over `cells` that sum to 1. */
export function shareVector(draft: Draft, cells: readonly string[]): string {
  const { dice } = draft;
  const name = draft.name("shares");
  const byStrategy = dice.chance(30);
  draft.declared[name] = { is: "share", over: cells, ...(byStrategy ? { by: "strategy" } : {}) };
  draft.evidence[name] = randomEvidence(draft, {
    ...{ name, wanted: share, cells, sums: true, fixed: false },
    strategies: byStrategy ? draft.strategies : null,
  });
  const input = { byStrategy, strategies: draft.strategies, cells, fixed: false };
  draft.inputs.push({ name, key: wantedKey(share), ...input });
  return name;
}
