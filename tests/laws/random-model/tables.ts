import type { Draft, Section, TablePlan, Tree } from "./draft.ts";
import { reportedUnit } from "./money.ts";
import { tableYields } from "./pen.ts";
import * as quantity from "./quantities.ts";
import { randomSource } from "./sources.ts";

const wantedOf = {
  scale: quantity.ratio,
  rate: quantity.rate,
  "yearly cost": quantity.yearlyCost,
  utility: quantity.utility,
  bmi: quantity.bmi,
  "hazard ratio": quantity.hazardRatio,
  "chance per year": quantity.probabilityPer("year"),
  "case chance": quantity.probabilityOf("attempt"),
  "case cost": quantity.costOf("case"),
} as const;

/** A random table: over time or age, by up to two lists of levels, its rows inline, beside the scenario or in a shared folder. */
export function newTable(draft: Draft): void {
  const { dice } = draft;
  const name = draft.name("table");
  const yields = dice.one(tableYields);
  const axis = dice.one(["time", "age"] as const);
  const unit = axis === "age" ? "year" : dice.one(["year", "month"]);
  const keys = dice.some(
    [
      ["plain", "Severe"],
      ...draft.factors.map(({ levels }) => levels.map((level) => level.name)),
      ...draft.attributes.flatMap(({ levels }) => (levels === null ? [] : [levels])),
      ...draft.choices.map(({ options }) => options),
    ],
    0,
    2,
  );
  const wanted = wantedOf[yields];
  const certain = yields === "chance per year" && dice.chance(30);
  const names = keys.map((_, i) => `key_${i + 1}`);
  draft.tableDeclarations[name] = {
    by: {
      [axis === "age" ? "age" : "since_start"]: unit,
      ...Object.fromEntries(keys.map((key, i) => [names[i]!, key])),
    },
    is: wanted.is,
    ...wanted.declared,
    ...(dice.chance(80) ? { between: dice.one(["step", "linear", "monotone"]) } : {}),
    ...(dice.chance(70) ? { beyond: dice.one(["last", "error"]) } : {}),
    ...(certain ? { last: "certain" } : {}),
    ...(dice.chance(20) ? { label: `Table ${name}` } : {}),
  };
  // the last row lies beyond every age and time asked for
  const positions = [0, ...dice.some([1, 2, 5, 12, 20, 36, 50], 1, 6), 1200];
  const columns = keys
    .reduce<readonly (readonly string[])[]>(
      (list, key) => list.flatMap((head) => key.map((one) => [...head, one])),
      [[]],
    )
    .map((levels) => ({ levels, values: positions.map(() => dice.number(wanted.low, wanted.high)) }));
  if (certain) for (const column of columns) column.values[positions.length - 1] = 1;
  draft.tableData[name] = {
    ...rows(draft, name, unit, wanted, { names, positions, columns }),
    source: randomSource(draft),
  };
  draft.tables.push({ name, yields, axis, keys } satisfies TablePlan);
}

interface Rows {
  readonly names: readonly string[];
  readonly positions: readonly number[];
  readonly columns: readonly { readonly levels: readonly string[]; readonly values: readonly number[] }[];
}

function rows(draft: Draft, name: string, unit: string, wanted: quantity.Wanted, table: Rows): Section {
  const { dice } = draft;
  const { names, positions, columns } = table;
  const { unit: own, year } = reportedUnit(draft, wanted.unit);
  const said: Section = { ...(own !== "" && dice.chance(40) ? { in: own } : {}), ...year };
  if (names.length <= 1 && dice.chance(60)) {
    const value = (x: number): Tree => ("in" in said || own === "" ? x : `${x} ${own}`);
    const bare = dice.chance(50);
    const pairs = (values: readonly number[]): Tree =>
      positions.map((x, i) => [bare ? x : `${x} ${unit}s`, value(values[i]!)]);
    return {
      ...said,
      points:
        names.length === 0
          ? pairs(columns[0]!.values)
          : Object.fromEntries(columns.map(({ levels, values }) => [levels[0]!, pairs(values)])),
    };
  }
  const file = `${name}.csv`;
  const long = names.length === 0 || dice.chance(50);
  const lines = long
    ? [
        ["position", ...names, "value"],
        ...columns.flatMap(({ levels, values }) => positions.map((x, i) => [x, ...levels, values[i]!])),
      ]
    : [
        ["position", ...columns.map(({ levels }) => levels.join("."))],
        ...positions.map((x, i) => [x, ...columns.map(({ values }) => values[i]!)]),
      ];
  draft.files.set(
    `${dice.one(["models/tables", "scenarios"])}/${file}`,
    `# invented\n${lines.map((line) => line.join(",")).join("\n")}\n`,
  );
  // without a unit of its own a file's amounts are in the scenario's currency, in prices of the year said
  return { file, ...("in" in said || own.includes(draft.currency) ? said : {}) };
}
