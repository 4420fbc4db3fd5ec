import { inputError, type Place } from "../errors.ts";
import type { MoneyWay } from "../evidence/money.ts";
import { inRange, rangeText } from "../evidence/range.ts";
import { bareIn, bareUnit, type Expected, quantityIn } from "../evidence/read-quantity.ts";
import { monotoneSlopes } from "../numerics/interpolate.ts";
import { csvNumber, readCsv } from "../schema/csv.ts";
import { expressionAt } from "../schema/document.ts";
import { type FileSource, readText, resolvePath } from "../schema/files.ts";
import type { TableDeclaration } from "../schema/model.ts";
import { nearestNames } from "../schema/nearest.ts";
import { inBase, readUnit } from "../schema/quantity.ts";
import type { TableData } from "../schema/scenario.ts";
import { noUnit, type Unit } from "../schema/unit.ts";
import { type Context, modelPlace, scenarioPlace } from "./context.ts";
import type { Table } from "./program.ts";
import type { TableSymbol } from "./scope.ts";

const tableFolder = "models/tables/";

/**
 * The model's tables filled with the scenario's rows. Mistakes go to the findings: unknown or missing tables, missing
 * levels, positions that do not rise, values out of range, a probability of 1 without `last: certain`.
 */
export function readTables(context: Context, files: FileSource): readonly Table[] {
  const { scope, findings } = context;
  const given = context.scenario.data.tables ?? {};
  const known = [...scope.tables.keys()];
  for (const name of Object.keys(given)) {
    if (!scope.tables.has(name))
      findings.add(
        scenarioPlace(context, ["tables", name], true),
        "unknown-reference",
        "table",
        name,
        nearestNames(name, known),
        known,
      );
  }
  return [...scope.tables.values()].map((symbol): Table => {
    const declaration = context.model.data.tables![symbol.name]!;
    const data = given[symbol.name];
    const between = declaration.between ?? "step";
    const sizes = symbol.keys.map((key) => key.levels.length);
    const empty: Table = {
      index: symbol.index,
      name: symbol.name,
      between,
      beyond: declaration.beyond ?? "error",
      sizes,
      x: new Float64Array([0]),
      y: allCombinations(symbol).map(() => new Float64Array([0])),
      slopes: [],
      money: null,
      source: expressionAt(context.model, ["tables", symbol.name]),
    };
    if (data === undefined) {
      findings.add(scenarioPlace(context, ["tables"], true), "missing-key", `tables.${symbol.name}`);
      return empty;
    }
    const place = scenarioPlace(context, ["tables", symbol.name], true);
    if (data.source === undefined) findings.add(place, "source-missing", symbol.name);
    const ways = new Map<string, MoneyWay>();
    const values = valuesOf(symbol, data, context, ways);
    try {
      const rows =
        data.points === undefined
          ? fromFile(symbol, declaration, data, values.ofFile, context, files)
          : fromPoints(symbol, declaration, data, values.ofPoints, context);
      checkRows(rows, symbol, declaration, place, context);
      const slopes =
        between === "monotone" ? rows.y.map((y) => monotoneSlopes(rows.x, y)) : rows.y.map(() => new Float64Array(0));
      const [money = null] = ways.values();
      return { ...empty, ...rows, slopes, money };
    } catch (error) {
      findings.catch(error);
      return empty;
    }
  });
}

interface Rows {
  readonly x: Float64Array;
  readonly y: readonly Float64Array[];
}

/** All combinations of levels, the last key fastest. */
function allCombinations(symbol: TableSymbol): readonly (readonly string[])[] {
  return symbol.keys.reduce<readonly (readonly string[])[]>(
    (list, key) => list.flatMap((head) => key.levels.map((level) => [...head, level])),
    [[]],
  );
}

function fromPoints(
  symbol: TableSymbol,
  declaration: TableDeclaration,
  data: TableData,
  values: Expected,
  context: Context,
): Rows {
  const path = ["tables", symbol.name, "points"] as const;
  const place = scenarioPlace(context, path, true);
  const { points } = data;
  if (data.file !== undefined) throw inputError(place, "inconsistent-keys", ["file", "points"], "give one of the two");
  if (symbol.keys.length > 1)
    throw inputError(place, "wrong-shape", "points", "a file, for a table over several lists of levels");
  const levels = symbol.keys[0]?.levels ?? [null];
  const expected = { currency: context.scope.currency, cycleYears: context.scope.cycleYears };
  const axisUnit = axisUnitOf(declaration, context);
  let x: Float64Array | undefined;
  const y = levels.map((level) => {
    const list =
      level === null
        ? Array.isArray(points)
          ? points
          : undefined
        : Array.isArray(points)
          ? undefined
          : points?.[level];
    const at = level === null ? path : ([...path, level] as const);
    if (list === undefined)
      throw inputError(place, "missing-cells", `points of ${symbol.name}`, [level ?? "a list of pairs"]);
    if (list.length === 0) throw inputError(place, "empty-list", `points of ${symbol.name}`);
    const pairs = list.map(([position, value], i) => [
      quantityIn(
        position,
        { ...expected, dimension: symbol.axis.type.dimension, bare: axisUnit },
        scenarioPlace(context, [...at, i, 0]),
        context.findings,
      ) ?? 0,
      quantityIn(value, values, scenarioPlace(context, [...at, i, 1]), context.findings) ?? 0,
    ]);
    const positions = Float64Array.from(pairs, (pair) => pair[0]!);
    if (x !== undefined && (x.length !== positions.length || x.some((value, i) => value !== positions[i]))) {
      throw inputError(place, "csv-shape", "levels with different positions");
    }
    x ??= positions;
    return Float64Array.from(pairs, (pair) => pair[1]!);
  });
  return { x: x ?? new Float64Array([0]), y };
}

/** What the table's values must be, with the unit of bare numbers; of a file's, where none is said, the model's own. */
function valuesOf(
  symbol: TableSymbol,
  data: TableData,
  context: Context,
  ways: Map<string, MoneyWay>,
): { readonly ofPoints: Expected; readonly ofFile: Expected } {
  const { scope, money, findings } = context;
  const { dimension, kind } = symbol.type;
  const place = scenarioPlace(context, ["tables", symbol.name, "in"]);
  const year = data.price_year;
  if (year !== undefined && dimension[0] === 0) {
    const why = "the model declares this table without money";
    const at = scenarioPlace(context, ["tables", symbol.name, "price_year"], true);
    findings.add(at, "inconsistent-keys", ["price_year", symbol.name], why);
  }
  const values: Expected = {
    dimension,
    currency: scope.currency,
    cycleYears: scope.cycleYears,
    price: { money, ...(year === undefined ? {} : { year }), note: (way) => ways.set(way.from, way) },
  };
  const unit = data.in === undefined ? undefined : bareUnit(data.in, values, place, findings);
  const own: Unit = { dimension, factor: 1, ...(dimension[0] === 0 ? {} : { currency: scope.currency }) };
  const bare = unit ?? (kind === "plain" ? undefined : noUnit);
  return {
    ofPoints: { ...values, ...(bare === undefined ? {} : { bare }) },
    ofFile: { ...values, bare: unit ?? own },
  };
}

function axisUnitOf(declaration: TableDeclaration, context: Context) {
  const text = Object.values(declaration.by)[0];
  const unit = readUnit(typeof text === "string" ? text : "", context.scope.cycleYears);
  return "problem" in unit ? noUnit : unit;
}

function fromFile(
  symbol: TableSymbol,
  declaration: TableDeclaration,
  data: TableData,
  values: Expected,
  context: Context,
  files: FileSource,
): Rows {
  const place = scenarioPlace(context, ["tables", symbol.name, "file"]);
  if (data.file === undefined)
    throw inputError(scenarioPlace(context, ["tables", symbol.name], true), "missing-key", "file");
  const beside = resolvePath(place.file, data.file, place);
  const path = files.read(beside) === undefined && !data.file.includes("/") ? `${tableFolder}${data.file}` : beside;
  const table = readCsv(readText(files, path, place), path);
  const axisUnit = axisUnitOf(declaration, context);
  const combinations = allCombinations(symbol);
  const keyColumns = symbol.keys.map((key) => table.header.indexOf(key.name));
  const long = symbol.keys.length === 0 || keyColumns.every((column) => column > 0);
  const valueColumns = combinations.map((levels) =>
    long ? table.header.indexOf("value") : table.header.indexOf(levels.join(".")),
  );
  const missing = combinations
    .filter((_, i) => valueColumns[i]! < 1)
    .map((levels) => (long ? "value" : levels.join(".")));
  if (missing.length > 0)
    throw inputError({ file: path, line: 1, column: 1, path: "" }, "missing-cells", `columns of ${symbol.name}`, [
      ...new Set(missing),
    ]);
  const { findings } = context;
  const inUnit = scenarioPlace(context, ["tables", symbol.name, "in"]);
  const series = combinations.map((levels, i) => {
    const rows = table.rows.flatMap((row, r) => {
      if (long && keyColumns.some((column, k) => row[column] !== levels[k])) return [];
      return [
        [
          inBase(csvNumber(row[0]!, path, table.lines[r]!), axisUnit),
          bareIn(
            csvNumber(row[valueColumns[i]!]!, path, table.lines[r]!),
            values.bare ?? noUnit,
            values,
            inUnit,
            findings,
          ) ?? 0,
        ] as const,
      ];
    });
    if (rows.length === 0)
      throw inputError({ file: path, line: 1, column: 1, path: "" }, "missing-cells", `rows of ${symbol.name}`, [
        levels.join(" "),
      ]);
    return { x: Float64Array.from(rows, (row) => row[0]), y: Float64Array.from(rows, (row) => row[1]) };
  });
  const x = series[0]!.x;
  if (series.some((one) => one.x.length !== x.length || one.x.some((value, i) => value !== x[i]))) {
    throw inputError({ file: path, line: 1, column: 1, path: "" }, "csv-shape", "levels with different positions");
  }
  return { x, y: series.map((one) => one.y) };
}

function checkRows(
  rows: Rows,
  symbol: TableSymbol,
  declaration: TableDeclaration,
  place: Place,
  context: Context,
): void {
  const { findings } = context;
  if (rows.x.some((value, i) => i > 0 && !(value > rows.x[i - 1]!)))
    findings.add(place, "csv-shape", "positions that do not rise");
  for (const y of rows.y) {
    const wrong = y.find((value) => !inRange(declaration.is, value));
    if (wrong !== undefined)
      findings.add(place, "out-of-range", `table ${symbol.name}`, String(wrong), rangeText(declaration.is));
    const certain = declaration.is === "probability" && symbol.type.period !== undefined && y.includes(1);
    if (certain && declaration.last !== "certain")
      findings.add(modelPlace(context, ["tables", symbol.name], true), "certain-death", symbol.name);
  }
}
