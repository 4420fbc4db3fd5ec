import { Model } from "../../../src/schema/model.ts";
import { Scenario } from "../../../src/schema/scenario.ts";
import type { Section, Tree } from "./draft.ts";
import { everyKey, usedKeys } from "./schema-keys.ts";

/** Keys that name no construct of their own: kinds of tables and attributes are kinds of inputs. */
const setAside = /^model\.(tables|population)\.\*\.is = /;

/** Constructs that keys alone do not show, each with how to recognise it in a model or scenario. */
const shown: Readonly<Record<string, (text: Texts) => boolean>> = {
  ...Object.fromEntries(
    ["exp", "log", "sqrt", "abs", "min", "max", "floor", "hazard_of", "chance_of", "with_odds", "since"].map((name) => [
      `function ${name}`,
      ({ expressions }: Texts) => expressions.some((text) => text.includes(`${name}(`)),
    ]),
  ),
  ...Object.fromEntries(
    ["+", "-", "*", "/", "^", "<", "<=", ">", ">=", "==", "!=", "and", "or", "?"].map((sign) => [
      `operator ${sign}`,
      ({ expressions }: Texts) => expressions.some((text) => text.includes(` ${sign} `)),
    ]),
  ),
  "operator not": ({ expressions }) => expressions.some((text) => text.includes("not (")),
  "operator - of one": ({ expressions }) => expressions.some((text) => /(^|[(, ])-\(/.test(text)),
  "name time": ({ expressions }) => expressions.some((text) => /\btime\b/.test(text)),
  "name cycle": ({ expressions }) => expressions.some((text) => /\bcycle\b/.test(text)),
  "name cycle_length": ({ expressions }) => expressions.some((text) => text.includes("cycle_length")),
  "unit of time": ({ expressions }) => expressions.some((text) => /\d (months|years|weeks|days|cycles)/.test(text)),
  "unit of body mass": ({ expressions }) => expressions.some((text) => text.includes(" kg/m2")),
  "look-up by factor": ({ expressions, factors }) => reads(expressions, factors, (name) => `\\[${name}\\]`),
  "look-up by attribute": ({ expressions }) => reads(expressions, ["sex"], (name) => `\\[${name}\\]`),
  "look-up by choice": ({ expressions, choices }) => reads(expressions, choices, (name) => `\\[${name}\\]`),
  "look-up for one strategy": ({ expressions }) => expressions.some((text) => /\.\w+\[\w+\]/.test(text)),
  "input of one strategy": ({ expressions, byStrategy, strategies }) =>
    reads(expressions, byStrategy, (name) => `${name}\\.(${strategies.join("|")})\\b`),
  "input of a cell": ({ expressions }) => expressions.some((text) => /\.(first|Second|third)\b/.test(text)),
  "input of a cell and a strategy": ({ expressions }) => expressions.some((text) => /\w+\.\w+\.\w+/.test(text)),
  "test of a level": ({ expressions, factors }) => reads(expressions, factors, (name) => `${name} [!=]= `),
  "test of an attribute": ({ expressions }) => reads(expressions, ["sex"], (name) => `${name} [!=]= `),
  "test of a choice": ({ expressions, choices }) => reads(expressions, choices, (name) => `${name} [!=]= `),
  "mark as a condition": ({ expressions, marks }) => reads(expressions, marks, (name) => `\\b${name}\\b`),
  "attribute as a number": ({ expressions }) => reads(expressions, ["start_age", "start_bmi"], (name) => name),
  "formula in a formula": ({ formulas, formulaTexts }) => reads(formulaTexts, formulas, (name) => `\\b${name}\\b`),
  "formula of an earlier time": ({ expressions }) => expressions.some((text) => text.includes("(time - ")),
  "formula of one strategy": ({ expressions, formulas, strategies }) =>
    reads(expressions, formulas, (name) => `${name}\\.(${strategies.join("|")})\\b`),
  "table looked up": ({ expressions }) => expressions.some((text) => /table_\d+\(/.test(text)),
  "table with two lists of levels": ({ model }) =>
    values(model["tables"]).some((table) => Object.keys((table as Section)["by"] as Section).length === 3),
  "table in a shared folder": ({ files }) => files.some((path) => path.startsWith("models/tables/")),
  "table beside the scenario": ({ files }) => files.some((path) => /^scenarios\/table/.test(path)),
  "joint draws": ({ files }) => files.some((path) => path.endsWith("joint.csv")),
  "value reported per another period": ({ scenario }) =>
    entries(scenario["inputs"]).some(([, e]) => "per" in (e as Section)),
  "input for some strategies only": ({ scenario, strategies }) =>
    values(scenario["inputs"]).some((entry) => {
      const { by } = entry as Section;
      return by !== undefined && Object.keys(by).length < strategies.length;
    }),
  "lasts by strategy": ({ levels, byStrategy }) =>
    levels.some((level) => "lasts" in level && byStrategy.includes(String(level["lasts"]))),
  "lasts and begins anew": ({ model }) =>
    entries(model["factors"]).some(([, list]) =>
      (list as readonly Tree[]).some(
        (level) =>
          typeof level === "object" &&
          Object.entries(level).some(([name, clock]) => (clock as Section)["then"] === name),
      ),
    ),
  "start at a level": ({ model }) => values(model["start"]).some((start) => typeof start === "string"),
  "start in shares": ({ model }) => values(model["start"]).some((start) => typeof start === "object"),
  "start with rest": ({ model }) => JSON.stringify(model["start"]).includes('"rest"'),
  "instant of an input": ({ forms }) => forms.some(({ at }) => /dwell_\d/.test(String(at))),
  "instant by group": ({ forms }) => forms.some(({ at }) => String(at).includes("sex ==")),
  "instant with a chance": ({ forms }) => forms.some((form) => "at" in form && "chance" in form),
  "repeat with a chance": ({ forms }) => forms.some((form) => "every" in form && "chance" in form),
  "end of a level with a chance": ({ forms }) => forms.some((form) => "ends" in form && "chance" in form),
  "rate that moves": ({ forms }) => forms.some((form) => "rate" in form && "then" in form),
  "rate that moves nobody": ({ forms }) =>
    forms.some((form) => "rate" in form && !JSON.stringify(form).includes('"then"')),
  "rate that moves some": ({ forms }) => forms.some((form) => "rate" in form && !("then" in form) && mixed(form)),
  "chance that moves": ({ forms }) => forms.some((form) => "chance" in form && "then" in form),
  "chance that moves nobody": ({ forms }) =>
    forms.some((form) => "chance" in form && !JSON.stringify(form).includes('"then"')),
  "chance that moves some": ({ forms }) => forms.some((form) => "chance" in form && !("then" in form) && mixed(form)),
  "branches of those at risk for a cycle": ({ forms }) =>
    forms.some((form) => "one_of" in form && !timingKeys.some((key) => key in form)),
  "branches in branches": ({ forms }) => forms.some((form) => depth(form) >= 2),
  "branches three deep": ({ forms }) => forms.some((form) => depth(form) >= 3),
  "branches without a rest": ({ forms }) =>
    forms.some(
      ({ one_of }) => one_of !== undefined && values(one_of).every((branch) => !("rest" in (branch as Section))),
    ),
  "branch with a move on top of its parent's": ({ forms }) =>
    forms.some((form) => "then" in form && values(form["one_of"]).some((branch) => "then" in (branch as Section))),
  "event that does nothing": ({ forms }) =>
    forms.some((form) => !["then", "uses", "one_of"].some((key) => key in form)),
  "move to dead": ({ moves }) => moves.includes("dead"),
  "move to one level": ({ moves }) => moves.some((move) => typeof move === "object" && Object.keys(move).length === 1),
  "move in several factors": ({ moves }) =>
    moves.some((move) => typeof move === "object" && Object.keys(move).length > 1),
  "move to the level already held": ({ forms }) =>
    forms.some(({ then, while: held }) =>
      entries(then).some(([factor, level]) => (held as Section | undefined)?.[factor] === level),
    ),
  "line on a branch": ({ lines }) => lines.some(({ on }) => String(on).includes(".")),
  "line over time for some levels": ({ lines }) =>
    lines.some((line) => !("on" in line) && typeof line["while"] === "object"),
  "line on an event for some levels": ({ lines }) => lines.some((line) => "on" in line && "while" in line),
  "count of a branch": ({ model }) =>
    values(model["accounts"]).some((account) => String((account as Section)["count"] ?? "").includes(".")),
  "resource in a unit of time": ({ model }) =>
    values(model["resources"]).some((one) => ["minute", "hour"].includes(String((one as Section)["in"]))),
  "resource in pieces": ({ model }) => values(model["resources"]).some((one) => (one as Section)["in"] === "piece"),
  "resource in a unit of its own": ({ model }) =>
    values(model["resources"]).some((one) => (one as Section)["in"] === "bandage"),
  "resource and line under one heading": ({ model }) =>
    values(model["accounts"]).some(
      (account) =>
        "resources" in (account as Section) &&
        values(model["resources"]).some(
          (one) => String((one as Section)["line"]) in ((account as Section)["lines"] as Section),
        ),
    ),
  ...Object.fromEntries([1, 2, 3].map((n) => [`${n} factors`, ({ factors }: Texts) => factors.length === n])),
  ...Object.fromEntries(
    [2, 3, 4].map((n) => [
      `factor of ${n} levels`,
      ({ model }: Texts) => values(model["factors"]).some((list) => (list as readonly Tree[]).length === n),
    ]),
  ),
  ...Object.fromEntries([2, 3, 4].map((n) => [`${n} strategies`, ({ strategies }: Texts) => strategies.length === n])),
  ...Object.fromEntries(
    ["1 month", "1 year", "1 week"].map((cycle) => [
      `cycle of ${cycle}`,
      ({ model }: Texts) => model["cycle"] === cycle,
    ]),
  ),
  "no population": ({ scenario }) => scenario["population"] === undefined,
  "horizon in cycles": ({ scenario }) => String((scenario["settings"] as Section)["horizon"]).includes("cycles"),
  "discount rate as a number": ({ scenario }) => typeof discount(scenario)["costs"] === "number",
  percentage: ({ scenario }) => JSON.stringify(scenario["inputs"] ?? {}).includes('%"'),
  "scenario in two files": ({ scenario }) => "extends" in scenario,
};

const timingKeys = ["at", "every", "rate", "crude", "chance", "ends", "after"];
const discount = (scenario: Section): Section => ((scenario["settings"] as Section)["discount"] ?? {}) as Section;
const entries = (tree: Tree | undefined): readonly (readonly [string, Tree])[] =>
  typeof tree === "object" && !Array.isArray(tree) ? Object.entries(tree) : [];
const values = (tree: Tree | undefined): readonly Tree[] => entries(tree).map(([, value]) => value);
const reads = (texts: readonly string[], names: readonly string[], shape: (name: string) => string): boolean =>
  names.some((name) => texts.some((text) => new RegExp(shape(name)).test(text)));

function depth(tree: Section): number {
  return Math.max(0, ...values(tree["one_of"]).map((branch) => 1 + depth(branch as Section)));
}

/** True where some branches move people and others do not. */
function mixed(form: Section): boolean {
  const branches = values(form["one_of"]) as readonly Section[];
  return (
    branches.some((branch) => "then" in branch) && branches.some((branch) => !JSON.stringify(branch).includes('"then"'))
  );
}

/** A case taken apart for the recognisers. */
interface Texts {
  readonly model: Section;
  readonly scenario: Section;
  readonly files: readonly string[];
  readonly expressions: readonly string[];
  readonly formulaTexts: readonly string[];
  readonly strategies: readonly string[];
  readonly factors: readonly string[];
  readonly formulas: readonly string[];
  readonly choices: readonly string[];
  readonly marks: readonly string[];
  /** Names of inputs by strategy. */
  readonly byStrategy: readonly string[];
  readonly levels: readonly Section[];
  /** All forms of all events. */
  readonly forms: readonly Section[];
  readonly moves: readonly Tree[];
  readonly lines: readonly Section[];
}

function takenApart(model: Section, scenario: Section, files: readonly string[]): Texts {
  const inputs = entries(model["inputs"]) as readonly (readonly [string, Section])[];
  const forms = (values(model["events"]) as readonly Section[]).flatMap(
    (event) => (event["cases"] as readonly Section[] | undefined) ?? [event],
  );
  const moves: Tree[] = [];
  const branch = (node: Section): void => {
    if (node["then"] !== undefined) moves.push(node["then"]);
    for (const child of values(node["one_of"])) branch(child as Section);
  };
  for (const form of forms) branch(form);
  const expressions: string[] = [];
  const strings = (tree: Tree): void => {
    if (typeof tree === "string") expressions.push(tree);
    else if (typeof tree === "object") for (const inner of Object.values(tree)) strings(inner as Tree);
  };
  for (const key of ["formulas", "curves", "factors", "start", "resources", "events", "accounts"])
    strings(model[key] ?? {});
  const formulaTexts = values(model["formulas"]).map((formula) => JSON.stringify(formula));
  const strategies = entries(model["strategies"]);
  return {
    ...{ model, scenario, files, expressions, formulaTexts, forms, moves },
    strategies: strategies.map(([id]) => id),
    factors: entries(model["factors"]).map(([name]) => name),
    formulas: entries(model["formulas"]).map(([name]) => name),
    choices: inputs.filter(([, { is }]) => is === "choice").map(([name]) => name),
    byStrategy: inputs.filter(([, { by }]) => by !== undefined).map(([name]) => name),
    marks: strategies.flatMap(([, strategy]) => ((strategy as Section)["has"] as readonly string[] | undefined) ?? []),
    levels: values(model["factors"]).flatMap((list) =>
      (list as readonly Tree[]).flatMap((level) =>
        typeof level === "object" ? (values(level) as readonly Section[]) : [],
      ),
    ),
    lines: values(model["accounts"]).flatMap((account) => values((account as Section)["lines"]) as readonly Section[]),
  };
}

/** All constructs of the language: every key and word that the schemas know, and what keys alone do not show. */
export const constructs: readonly string[] = allConstructs();

function allConstructs(): readonly string[] {
  const found = new Set<string>();
  everyKey(Model, "model", (path) => found.add(path));
  everyKey(Scenario, "scenario", (path) => found.add(path));
  return [...[...found].filter((path) => !setAside.test(path)), ...Object.keys(shown)];
}

/** The constructs a model and its scenario use, of those in `constructs`. */
export function constructsOf(model: Section, scenario: Section, files: readonly string[]): ReadonlySet<string> {
  const found = new Set<string>();
  usedKeys(Model, model, "model", (path) => found.add(path));
  usedKeys(Scenario, scenario, "scenario", (path) => found.add(path));
  const texts = takenApart(model, scenario, files);
  for (const [name, recognises] of Object.entries(shown)) if (recognises(texts)) found.add(name);
  return new Set([...found].filter((path) => !setAside.test(path)));
}
