import { inputError, type Place } from "../errors.ts";
import { followSame } from "../evidence/follow-same.ts";
import { readInput } from "../evidence/read.ts";
import { type Fit, readFits } from "../evidence/read-fits.ts";
import type { Component } from "../evidence/reported.ts";
import type { EvidenceContext, InputShape } from "../evidence/shape.ts";
import { csvNumber, readCsv } from "../schema/csv.ts";
import { none } from "../schema/dimension.ts";
import type { Evidence } from "../schema/evidence.ts";
import { type FileSource, readText, resolvePath } from "../schema/files.ts";
import { nearestNames } from "../schema/nearest.ts";
import { type Context, scenarioPlace } from "./context.ts";
import type { Input } from "./program.ts";
import type { InputSymbol } from "./scope.ts";

/** The model's inputs with the scenario's evidence read: shapes for the formulas, scalar components for the rows. */
export interface ReadInputs {
  readonly inputs: readonly Input[];
  readonly components: readonly Component[];
  /** Courses fitted to reported points, from which components may take their values. */
  readonly fits: readonly Fit[];
}

/**
 * Reads the evidence of all inputs and the weights of all alternatives. Mistakes go to the findings: unknown inputs,
 * missing inputs, and all mistakes of the evidence forms.
 */
export function readInputs(context: Context, files: FileSource): ReadInputs {
  const { scope, findings } = context;
  const given = context.scenario.data.inputs ?? {};
  const alternatives = context.scenario.data.alternatives ?? {};
  const declared = context.model.data.inputs ?? {};
  const columns = new Map<string, readonly number[]>();
  const fits = readFits({
    scenario: context.scenario,
    currency: scope.currency,
    cycleYears: scope.cycleYears,
    findings,
  });
  const evidence: EvidenceContext = {
    scenario: context.scenario,
    strategies: scope.strategies,
    money: context.money,
    cycleYears: scope.cycleYears,
    findings,
    fits,
    fitNames: Object.keys(context.scenario.data.fitted ?? {}),
    column(file, column, place) {
      const path = resolvePath(place.file, file, place);
      const key = `${path}\0${column}`;
      const known = columns.get(key) ?? readColumn(files, path, column, place);
      columns.set(key, known);
      return known;
    },
  };
  for (const name of Object.keys(given)) {
    if (Object.hasOwn(declared, name)) continue;
    findings.add(
      scenarioPlace(context, ["inputs", name], true),
      "unknown-reference",
      "input",
      name,
      nearestNames(name, Object.keys(declared)),
      Object.keys(declared),
    );
  }
  const variants = Object.entries(context.model.data.formulas ?? {}).flatMap(([name, formula]) =>
    typeof formula === "object" ? [name] : [],
  );
  for (const name of Object.keys(alternatives)) {
    if (variants.includes(name)) continue;
    findings.add(
      scenarioPlace(context, ["alternatives", name], true),
      "unknown-reference",
      "formula with alternatives",
      name,
      nearestNames(name, variants),
      variants,
    );
  }
  const read: Component[] = [];
  for (const symbol of scope.inputs.values()) {
    const shape = shapeOf(symbol, context);
    if (variants.includes(symbol.name)) {
      const weights = alternatives[symbol.name];
      if (weights === undefined)
        findings.add(scenarioPlace(context, ["alternatives"], true), "missing-key", `alternatives.${symbol.name}`);
      else read.push(...readInput(shape, weightsEvidence(weights), ["alternatives", symbol.name], evidence));
      continue;
    }
    const entry = given[symbol.name];
    if (entry === undefined)
      findings.add(scenarioPlace(context, ["inputs"], true), "missing-key", `inputs.${symbol.name}`);
    else read.push(...readInput(shape, entry, ["inputs", symbol.name], evidence));
  }
  let components: readonly Component[] = read;
  try {
    components = followSame(read);
  } catch (error) {
    findings.catch(error);
  }
  const index = new Map(
    components.map((component, position) => [
      `${component.input}/${component.strategy ?? ""}/${component.cell ?? ""}`,
      position,
    ]),
  );
  const inputs = [...scope.inputs.values()].map((symbol): Input => {
    const cells = symbol.cells === null ? [null] : [...symbol.cells.keys()];
    const offsets = scope.strategies.map((_, strategy) =>
      cells.map((cell) => index.get(`${symbol.index}/${symbol.byStrategy ? strategy : ""}/${cell ?? ""}`) ?? -1),
    );
    const declaration = declared[symbol.name];
    return {
      index: symbol.index,
      name: symbol.name,
      label: declaration?.label ?? symbol.name.replaceAll("_", " "),
      kind: declaration?.is ?? "choice",
      type: symbol.type,
      byStrategy: symbol.byStrategy,
      cells: symbol.cells,
      choices: symbol.choices,
      sums: sums(symbol, context),
      offsets,
    };
  });
  checkSums(inputs, components, context);
  return { inputs, components, fits: [...fits.values()] };
}

function shapeOf(symbol: InputSymbol, context: Context): InputShape {
  return {
    index: symbol.index,
    name: symbol.name,
    kind: context.model.data.inputs?.[symbol.name]?.is ?? "choice",
    dimension: symbol.choices === null ? symbol.type.dimension : none,
    period: symbol.type.period ?? symbol.type.per?.size,
    perDimension: symbol.type.per?.dimension,
    byStrategy: symbol.byStrategy,
    cells: symbol.cells,
    choices: symbol.choices,
    sums: sums(symbol, context),
  };
}

const sums = (symbol: InputSymbol, context: Context): boolean => {
  const declaration = context.model.data.inputs?.[symbol.name];
  return (
    symbol.cells !== null &&
    (declaration?.is === "probability" || declaration?.is === "share") &&
    declaration.each_sums !== false
  );
};

/** Weights of a formula's variants as the evidence of a choice. */
function weightsEvidence(weights: Readonly<Record<string, string | number>>): Evidence {
  const chosen: Record<string, number> = {};
  const words: Record<string, string> = {};
  for (const [key, value] of Object.entries(weights)) {
    if (typeof value === "number") chosen[key] = value;
    else words[key] = value;
  }
  return {
    chosen,
    source: words["source"] ?? "assumption",
    ...(words["why"] === undefined ? {} : { why: words["why"] }),
  };
}

function checkSums(inputs: readonly Input[], components: readonly Component[], context: Context): void {
  for (const input of inputs) {
    if (!input.sums) continue;
    for (const offsets of new Set(input.offsets.map((list) => list.join()))) {
      const parts = offsets.split(",").map((text) => components[Number(text)]);
      if (parts.some((part) => part === undefined || !Number.isFinite(part.base))) continue;
      const sum = parts.reduce((total, part) => total + part!.base, 0);
      if (Math.abs(sum - 1) > 1e-9)
        context.findings.add(parts[0]!.place, "shares-sum", input.name, String(Number(sum.toPrecision(12))));
    }
  }
}

function readColumn(files: FileSource, path: string, column: string, place: Place): readonly number[] {
  const table = readCsv(readText(files, path, place), path);
  const index = table.header.indexOf(column);
  if (index < 0)
    throw inputError(place, "unknown-reference", "column", column, nearestNames(column, table.header), table.header);
  return table.rows.map((row, r) => csvNumber(row[index]!, path, table.lines[r]!));
}
