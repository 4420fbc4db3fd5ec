import fc from "fast-check";
import { stringify } from "yaml";
import { bearersOf, randomAccounts, randomResources } from "./random-model/accounts.ts";
import { constructsOf } from "./random-model/constructs.ts";
import { newCourse } from "./random-model/courses.ts";
import { Dice } from "./random-model/dice.ts";
import { Draft, type Grid, type Section, type Tree } from "./random-model/draft.ts";
import { newEvent } from "./random-model/events.ts";
import { penFor } from "./random-model/expressions.ts";
import { randomFactors, randomStart } from "./random-model/factors.ts";
import { newFormula } from "./random-model/formulas.ts";
import { newChoice } from "./random-model/inputs.ts";
import { attributeDeclarations, attributes, randomPopulation } from "./random-model/population.ts";
import { newPair } from "./random-model/relations.ts";
import { randomSettings } from "./random-model/settings.ts";
import { newTable } from "./random-model/tables.ts";

/** A valid case: a model and a scenario as data and as the files that hold them. */
export interface RandomCase {
  readonly model: Section;
  /** The scenario with everything it extends merged in. */
  readonly scenario: Section;
  /** All files of the case by path; the scenario may stand in two, one extending the other. */
  readonly files: ReadonlyMap<string, string>;
  /** Path of the scenario. */
  readonly path: string;
  /** The constructs of the language it uses, of those in `constructs`. */
  readonly constructs: ReadonlySet<string>;
}

const modelPath = "models/random.model.yaml";
const scenarioPath = "scenarios/random.scenario.yaml";
const basePath = "scenarios/base.scenario.yaml";

/**
 * Valid random cases that cover the language, written part by part by the files of `random-model/`. All rates and chances are in range by construction, for the base values
 * and for other legal values of the inputs, so every case runs.
 */
export const anyCase: fc.Arbitrary<RandomCase> = fc.gen().map((pick) => randomCase(new Dice(pick)));

function randomCase(dice: Dice): RandomCase {
  const strategies = ["none", "programme", "Device", "combined"].slice(0, dice.whole(2, 4));
  const marks = new Map(
    dice.some(["with_device", "with_visits"], 0, 2).map((mark) => [mark, dice.some(strategies, 1, strategies.length)]),
  );
  const grid: Grid = { cycle: dice.one(["1 month", "1 year", "1 week"]), cycles: dice.whole(6, 24) };
  const draft = new Draft(dice, {
    ...{ grid, strategies, marks },
    currency: dice.one(["EUR", "GBP", "USD"]),
    calm: dice.chance(30),
    reportsOtherMoney: dice.chance(40),
    attributes: dice.some(attributes, 0, 3),
  });
  for (let i = dice.whole(0, 2); i > 0; i--) newChoice(draft, dice.chance(50));
  const relations = dice.chance(30) ? newPair(draft) : {};
  const courses = dice.chance(20) ? newCourse(draft) : {};
  const factors = randomFactors(draft);
  const start = randomStart(draft);
  for (let i = dice.whole(0, 3); i > 0; i--) newTable(draft);
  for (let i = dice.whole(0, 6); i > 0; i--) newFormula(draft);
  const resources = randomResources(draft);
  const events = Object.fromEntries(Array.from({ length: dice.whole(2, 7) }, () => newEvent(draft)));
  const accounts = randomAccounts(draft);
  const curves = randomCurves(draft);
  const settings = randomSettings(draft, bearersOf(accounts, resources));
  const [compared] = (settings["compare"] ?? strategies) as readonly string[];
  const model: Section = {
    model: "random",
    ...(dice.chance(20) ? { about: "A random model" } : {}),
    cycle: grid.cycle,
    ...(dice.chance(60) ? { evaluate: dice.one(["middle", "start"]) } : {}),
    strategies: Object.fromEntries(
      strategies.map((id): [string, Tree] => {
        const own = [...marks].flatMap(([mark, ids]) => (ids.includes(id) ? [mark] : []));
        const called = dice.chance(20) ? { called: `the strategy ${id}` } : {};
        const steps = dice.chance(20) ? { steps: ["First a visit", "Then the rest"] } : {};
        return [id, { label: `Strategy ${id}`, ...(own.length > 0 ? { has: own } : {}), ...called, ...steps }];
      }),
    ),
    ...filled({ population: attributeDeclarations(draft), inputs: draft.declared, tables: draft.tableDeclarations }),
    ...filled({ formulas: draft.formulaTexts, curves }),
    factors,
    start,
    ...(dice.chance(30) ? { death: "Deceased" } : {}),
    ...filled({ resources, events }),
    accounts,
    ...(dice.chance(20) ? { expect: randomExpectations(draft, compared!) } : {}),
  };
  const scenario: Section = {
    scenario: "random",
    ...(dice.chance(20) ? { about: "Random data" } : {}),
    model: "random",
    settings,
    ...filled({ population: randomPopulation(draft), inputs: draft.evidence, tables: draft.tableData }),
    ...filled({ alternatives: draft.alternatives, fitted: courses }),
    ...relations,
    ...(dice.chance(20) ? { expect: randomExpectations(draft, compared!) } : {}),
    ...(dice.chance(40)
      ? {
          runs: { draws: 100, seed: dice.one<Tree>(["random", 7]), design: dice.one(["plain", "stratified", "quasi"]) },
        }
      : {}),
  };
  const extra = new Map(draft.files);
  if (draft.joint.size > 0) extra.set("scenarios/joint.csv", jointText(draft.joint));
  return written(model, scenario, extra, dice.chance(25) ? variantOf(draft, scenario) : null);
}

/** The same case with its scenario in one file. */
export function inOneFile(one: RandomCase): RandomCase {
  const extra = new Map([...one.files].filter(([path]) => !/\.(model|scenario)\.yaml$/.test(path)));
  return written(one.model, one.scenario, extra, null);
}

function written(
  model: Section,
  scenario: Section,
  extra: ReadonlyMap<string, string>,
  split: { readonly base: Section; readonly variant: Section } | null,
): RandomCase {
  const text = (tree: Section): string => stringify(tree, { lineWidth: 0, aliasDuplicateObjects: false });
  const files = new Map<string, string>([[modelPath, text(model)]]);
  files.set(scenarioPath, text(split?.variant ?? scenario));
  if (split !== null) files.set(basePath, text(split.base));
  for (const [path, content] of extra) files.set(path, content);
  const whole = [...files].map(([path, content]) => `--- ${path}\n${content}`).join("");
  return {
    ...{ model, scenario, files, path: scenarioPath },
    constructs: constructsOf(model, split === null ? scenario : { ...scenario, extends: split.variant["extends"]! }, [
      ...files.keys(),
    ]),
    [fc.toStringMethod]: () => `\n${whole}`,
  } as RandomCase;
}

/** The sections that hold something. */
function filled(sections: Readonly<Record<string, Section>>): Section {
  return Object.fromEntries(Object.entries(sections).filter(([, section]) => Object.keys(section).length > 0));
}

function randomCurves(draft: Draft): Section {
  const { dice } = draft;
  const pen = penFor(draft, draft.everyone(true));
  return Object.fromEntries(
    dice
      .some(["bmi_curve", "share_curve"], 0, 2)
      .map((name): [string, Tree] => [
        name,
        name === "bmi_curve"
          ? { of: pen.write("bmi"), in: "kg/m2", ...(dice.chance(50) ? { label: "Mean body mass index" } : {}) }
          : { of: pen.write("fraction") },
      ]),
  );
}

/** Assertions that hold whatever the numbers. */
function randomExpectations(draft: Draft, id: string): Section {
  return draft.dice.way<Section>(
    () => ({ lived: `life_years.${id} >= 0` }),
    () => ({ never: { that: `life_years.${id} < 0`, otherwise: "warn", why: "said, not refused" } }),
    () => ({ itself: { that: `life_years.${id} == life_years.${id}`, within: "1%", why: "it is the same" } }),
  );
}

function jointText(columns: ReadonlyMap<string, readonly number[]>): string {
  const lists = [...columns.values()];
  const rows = lists[0]!.map((_, row) => lists.map((list) => list[row]!).join(","));
  return `${[...columns.keys()].join(",")}\n${rows.join("\n")}\n`;
}

/** The scenario in two files: a base with another horizon and some other evidence, and the variant that sets it right. */
function variantOf(draft: Draft, scenario: Section): { readonly base: Section; readonly variant: Section } {
  const { dice } = draft;
  const { horizon, ...settings } = scenario["settings"] as Section;
  const inputs = (scenario["inputs"] ?? {}) as Section;
  const moved = dice.some(Object.keys(inputs), 1, 3);
  const over: Section = {};
  const below: Section = { ...inputs };
  for (const name of moved) {
    const { by, ...rest } = inputs[name] as Section;
    const [id] = Object.keys(by ?? {});
    if (by === undefined || id === undefined) {
      over[name] = inputs[name]!;
      below[name] = { fixed: 1e9, why: "replaced whole", source: "invented" };
    } else {
      over[name] = { ...rest, by: { [id]: (by as Section)[id]! } };
      below[name] = { ...rest, by: { ...(by as Section), [id]: { fixed: 1e9, why: "replaced", source: "invented" } } };
    }
  }
  return {
    base: { ...scenario, scenario: "base", settings: { ...settings, horizon: "1 cycle" }, inputs: below },
    variant: {
      ...{ scenario: "random", model: "random", extends: "./base.scenario.yaml" },
      settings: { horizon: horizon! },
      ...(moved.length > 0 ? { inputs: over } : {}),
    },
  };
}
