import { Findings } from "../errors.ts";
import { readMoney } from "../evidence/money.ts";
import { type ExpressionSource, expressionAt, placeIn } from "../schema/document.ts";
import type { FileSource } from "../schema/files.ts";
import type { LoadedCase } from "../schema/load.ts";
import { readQuantity } from "../schema/quantity.ts";
import { boundAt, type Context } from "./context.ts";
import { checkCrudePeriods } from "./crude-periods.ts";
import { declareScope } from "./declare.ts";
import { readEvents } from "./events.ts";
import { readInputs } from "./inputs.ts";
import { readLedger } from "./ledger.ts";
import { readPopulation } from "./population.ts";
import type { Curve, Expectation, Formula, Program, Strategy } from "./program.ts";
import { readResources } from "./resources.ts";
import { readAnalysis, readGrid } from "./settings.ts";
import { cycleYearsOf, readFactors } from "./structure.ts";
import { readTables } from "./tables.ts";
import { checkUsage } from "./usage.ts";

/**
 * A loaded case as a program: names looked up, units checked, evidence read, events and accounts laid out.
 * All mistakes of model and scenario are thrown together as one `InputError`.
 *
 * ```
 * model    -> scope (names, types) -> formulas -> factors -> events -> accounts
 * scenario -> evidence (base values), tables, population, settings
 * ```
 */
export function compile(loaded: LoadedCase, files: FileSource): Program {
  const { model, scenario, jurisdiction } = loaded;
  const findings = new Findings();
  const cycleYears = cycleYearsOf(model.data.cycle, placeIn(model, ["cycle"]));
  const currency = scenario.data.settings.money?.unit ?? "";
  if (currency !== "" && !/^[A-Z]{3}$/.test(currency))
    findings.add(placeIn(scenario, ["settings", "money", "unit"]), "unknown-unit", currency, []);
  const scope = declareScope(model, cycleYears, currency, findings);
  const context: Context = { model, scenario, scope, money: readMoney(scenario, findings), findings };
  const grid = readGrid(scenario.data.settings, cycleYears, model.data.evaluate ?? "middle", {
    findings,
    placeOf: (path) => placeIn(scenario, path),
  });
  const { inputs, components, fits } = readInputs(context, files);
  const tables = readTables(context, files);
  const formulas = [...scope.formulas.values()].map((symbol): Formula => {
    const source = expressionAt(model, ["formulas", symbol.name]);
    const { node, type } = symbol.bound(source.place);
    return { index: symbol.index, name: symbol.name, node, type, source };
  });
  const factors = readFactors(context, grid);
  const resources = readResources(context);
  const { events, paths, labels } = readEvents(context, factors, grid);
  checkCrudePeriods(events, findings);
  const { accounts, entries, postings } = readLedger(context, resources, paths);
  const groups = readPopulation(context);
  const curves = Object.entries(model.data.curves ?? {}).map(([name, declared]): Curve => {
    const { node, source } = boundAt(context, ["curves", name, "of"]);
    return { name, label: declared.label ?? name.replaceAll("_", " "), unit: declared.in ?? "", node, source };
  });
  const analysis = readAnalysis(context, grid, accounts, entries, events);
  const strategies = Object.entries(model.data.strategies).map(
    ([id, declared], index): Strategy => ({
      index,
      id,
      label: declared.label,
      called: declared.called ?? inSentence(declared.label),
      steps: declared.steps ?? [],
    }),
  );
  const program: Program = {
    scenario,
    jurisdiction,
    model,
    scope,
    grid,
    strategies,
    groups,
    inputs,
    components,
    fits,
    formulas,
    tables,
    factors,
    deathLabel: model.data.death ?? "Dead",
    startPlace: placeIn(model, ["start"], true),
    paths,
    eventLabels: labels,
    events,
    resources,
    accounts,
    entries,
    postings,
    curves,
    analysis,
    expectations: readExpectations(context),
  };
  findings.throwAny();
  checkUsage(program);
  return program;
}

function readExpectations(context: Context): readonly Expectation[] {
  return (["model", "scenario"] as const).flatMap((where) => {
    const document = context[where];
    return Object.entries(document.data.expect ?? {}).map(([name, given]): Expectation => {
      const detailed = typeof given === "object";
      const source: ExpressionSource = expressionAt(document, detailed ? ["expect", name, "that"] : ["expect", name]);
      const quantity = detailed && given.within !== undefined ? readQuantity(given.within) : undefined;
      if (quantity !== undefined && ("problem" in quantity || !(quantity.value >= 0))) {
        context.findings.add(
          placeIn(document, ["expect", name, "within"]),
          "quantity-syntax",
          String(detailed ? given.within : ""),
        );
      }
      const warns = detailed && given.otherwise === "warn";
      if (warns && given.why === undefined)
        context.findings.add(placeIn(document, ["expect", name], true), "missing-key", "why");
      const within = quantity === undefined || "problem" in quantity ? 0 : quantity.value;
      return { name, source, within, otherwise: warns ? (given.why ?? "") : null };
    });
  });
}

/** A label inside a sentence: its first letter small, unless it begins with an abbreviation. */
function inSentence(label: string): string {
  return /^[A-Z][a-z]/.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label;
}
