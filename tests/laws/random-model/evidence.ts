import type { Draft, Section, Tree } from "./draft.ts";
import { reportedUnit } from "./money.ts";
import { type Wanted, wantedKey } from "./quantities.ts";
import { randomSource } from "./sources.ts";

/** What evidence is asked for. */
interface Asked {
  readonly name: string;
  readonly wanted: Wanted;
  readonly cells: readonly string[] | null;
  /** True where the cells are a vector that sums to 1. */
  readonly sums: boolean;
  /** Strategies that get a value each, or null for one value. */
  readonly strategies: readonly string[] | null;
  /** True where the value may have no spread. */
  readonly fixed: boolean;
}

/** Random evidence of an input, in a form its kind allows, with a source at its own place or above. */
export function randomEvidence(draft: Draft, asked: Asked): Section {
  const { dice } = draft;
  const { strategies } = asked;
  if (strategies === null || (strategies.length === draft.strategies.length && dice.chance(15)))
    return { ...forCells(draft, asked), ...sourced(draft) };
  const above = dice.chance(50);
  const by = Object.fromEntries(
    strategies.map((id) => [id, { ...forCells(draft, asked), ...(above ? {} : sourced(draft)) }]),
  );
  const [first, second] = strategies;
  if (second !== undefined && asked.cells === null && dice.chance(20))
    by[second] = { same_as: dice.one([first!, `${asked.name}.${first}`]), ...(above ? {} : sourced(draft)) };
  return { by, ...(above ? sourced(draft) : {}) };
}

/** Parts of 1 in twentieths, one per cell. */
export function partsOfOne(draft: Draft, cells: number): readonly number[] {
  const parts = Array.from({ length: cells }, () => 1);
  for (let left = 20 - cells; left > 0; left--) parts[draft.dice.below(cells)]! += 1;
  return parts.map((part) => part / 20);
}

function sourced(draft: Draft): Section {
  return { source: randomSource(draft), ...(draft.dice.chance(10) ? { note: "read from a figure" } : {}) };
}

function forCells(draft: Draft, asked: Asked): Section {
  const { dice } = draft;
  const { cells, wanted } = asked;
  if (cells === null) return scalar(draft, asked);
  if (!asked.sums) {
    return dice.way<Section>(
      () => fixedCells(draft, cells, () => dice.number(wanted.low, wanted.high), wanted),
      () => ({ each: Object.fromEntries(cells.map((cell) => [cell, scalar(draft, asked)])) }),
      () => scalar(draft, asked),
    );
  }
  const parts = partsOfOne(draft, cells.length);
  const vector = () => fixedCells(draft, cells, (i) => parts[i]!, wanted);
  if (asked.fixed) return vector();
  return dice.way<Section>(
    vector,
    () => {
      const counts = cells.map(() => dice.whole(0, 60));
      counts[0]! += 1;
      const prior = counts.includes(0) ? {} : dice.one<Section>([{}, { prior: "none" }, { prior: 1 }]);
      const listed = cells.flatMap((cell, i) => (counts[i] === 0 && dice.chance(50) ? [] : [[cell, counts[i]!]]));
      return { observed: { counts: Object.fromEntries(listed) as Section }, ...prior };
    },
    () => ({ each: Object.fromEntries(cells.map((cell, i) => [cell, { fixed: parts[i]!, why: "chosen" }])) }),
    () => {
      const rows = Array.from({ length: jointRows }, () => partsOfOne(draft, cells.length));
      const column = draft.name("vector");
      for (const [i, cell] of cells.entries()) {
        draft.joint.set(
          `${column}.${cell}`,
          rows.map((row) => row[i]!),
        );
      }
      return {
        each: Object.fromEntries(cells.map((cell) => [cell, { draws: jointFile, column: `${column}.${cell}` }])),
      };
    },
  );
}

/** Rows of the file of joint draws, and its path from the scenario. */
const jointRows = 5;
const jointFile = "./joint.csv";

function fixedCells(draft: Draft, cells: readonly string[], value: (i: number) => number, wanted: Wanted): Section {
  const write = writer(draft, wanted);
  const fixed = Object.fromEntries(cells.map((cell, i) => [cell, write.text(value(i))]));
  return { fixed, ...write.unit, why: "chosen" };
}

/** Writes values with their unit, or bare beside `in`. */
function writer(draft: Draft, wanted: Wanted) {
  const { unit, year } = reportedUnit(draft, wanted.unit);
  const apart = unit !== "" && draft.dice.chance(30);
  const percent = (wanted.is === "probability" || wanted.is === "share") && draft.dice.chance(30);
  return {
    unit: { ...(apart ? { in: unit } : {}), ...year } as Section,
    text(value: number): Tree {
      if (percent) return `${Number((100 * value).toPrecision(6))}%`;
      return apart || unit === "" ? value : `${value} ${unit}`;
    },
  };
}

/** One value in a random form. */
function scalar(draft: Draft, asked: Asked): Section {
  const { dice } = draft;
  const { wanted } = asked;
  const write = writer(draft, wanted);
  const value = dice.number(wanted.low, wanted.high);
  const text = (x: number): Tree => write.text(Number(x.toPrecision(4)));
  const fixed = (): Section => ({ fixed: text(value), why: "chosen", ...write.unit });
  const per = reportedPer(draft, wanted);
  if (asked.fixed) return fixed();
  const same = draft.inputs.find((input) => input.name !== asked.name && input.key === wantedKey(wanted));
  const forms: (() => Section)[] = [() => ({ ...fixed(), ...per })];
  if (same !== undefined) {
    const cell = same.cells === null ? [] : [same.cells[0]!];
    const strategy = same.byStrategy ? [same.strategies[0]!] : [];
    forms.push(() => ({ same_as: [same.name, ...strategy, ...cell].join(".") }));
  }
  if (["", "/ year", "$", "$/year", "QALY/year", "kg/m2"].includes(wanted.unit)) {
    forms.push(() => {
      const column = draft.name("column");
      draft.joint.set(
        column,
        Array.from({ length: jointRows }, () => dice.number(wanted.low, wanted.high)),
      );
      return { draws: jointFile, column };
    });
  }
  const spread = spreadOf(wanted, value);
  if (spread !== null) {
    const [low, high] = spread;
    const se = text(Math.min(value - low, high - value) / 2);
    forms.push(
      () => ({ mean: text(value), se, ...write.unit, ...familyByMean(draft, wanted, text), ...per }),
      () => {
        const sd = text(Math.min(value - low, high - value));
        const small = wanted.low < 0 && wanted.is !== "utility" ? smallSample(draft) : {};
        return { observed: { mean: text(value), sd, n: dice.whole(5, 300) }, ...write.unit, ...small, ...per };
      },
      () => ({
        estimate: text(value),
        interval: [text(low), text(high)],
        ...(dice.chance(70) ? { level: dice.one<Tree>(["95%", "90%", 0.8]) } : {}),
        ...write.unit,
        ...familyByInterval(draft, wanted),
        ...per,
      }),
      () => ({ quantiles: { "5%": text(low), "50%": text(value), "95%": text(high) }, ...write.unit, ...per }),
    );
  }
  if (wanted.is === "rate")
    forms.push(() => ({
      observed: { events: dice.whole(0, 40), person_time: dice.one(["100 years", "900 months"]) },
      ...(dice.chance(30) ? { prior: 1 } : {}),
    }));
  if (wanted.is === "probability" || wanted.is === "share") {
    forms.push(() => {
      const of = dice.whole(40, 300);
      const events = dice.whole(0, Math.floor(of * 0.6));
      const prior = dice.one<Section>([{}, { prior: { a: 1, b: 1 } }, ...(events > 0 ? [{ prior: "none" }] : [])]);
      return { observed: { events, of }, ...prior, ...per };
    });
  }
  return dice.one(forms)();
}

/** A probability reported over another period, a ratio per another number of units. */
function reportedPer(draft: Draft, { is, declared }: Wanted): Section {
  if (declared.per === undefined || !draft.dice.chance(40)) return {};
  if (is === "probability") return { per: draft.dice.one(["6 months", "2 years"]) };
  return is === "hazard_ratio" || is === "ratio" ? { per: "2 kg/m2" } : {};
}

/** A span round a value inside the range of its kind, or null where there is no room. */
function spreadOf({ is, declared, low, high }: Wanted, value: number): readonly [number, number] | null {
  switch (is) {
    case "probability":
    case "share":
      return [value * 0.6, value + (1 - value) * 0.4];
    case "utility": {
      if (declared.per !== undefined) {
        const half = Math.abs(value) / 2;
        return half === 0 ? null : [value - half, value + half];
      }
      // a beta law needs room between 0 and 1, a normal one must hardly reach above 1
      const room = value <= 0 ? 0.1 : Math.min(0.1, value / 5, (1 - value) / 5);
      return room < 0.003 ? null : [value - room, value + room];
    }
    default:
      if (low < 0) return [value - (high - low) / 4, value + (high - low) / 4];
      return value > 0 ? [value * 0.7, value * 1.4] : null;
  }
}

const smallSample = (draft: Draft): Section =>
  draft.dice.one<Section>([{}, { small: "t" }, { small: "t", distribution: "t" }]);

function familyByMean(draft: Draft, { is, low, declared }: Wanted, text: (x: number) => Tree): Section {
  if (!draft.dice.chance(30)) return {};
  switch (is) {
    case "probability":
    case "share":
      return { distribution: "beta" };
    case "utility":
      return declared.per === undefined ? { distribution: "one-minus-gamma" } : {};
    case "cost":
      return draft.dice.one<Section>([{ distribution: "gamma" }, { range: [text(0), text(1e9)] }]);
    case "hazard_ratio":
      return { distribution: "log-normal" };
    default:
      return low < 0 ? { distribution: draft.dice.one(["normal", "uniform"]) } : {};
  }
}

function familyByInterval(draft: Draft, { is }: Wanted): Section {
  if (!draft.dice.chance(30)) return {};
  switch (is) {
    case "probability":
    case "share":
      return { distribution: "logit-normal" };
    case "hazard_ratio":
    case "relative_risk":
    case "odds_ratio":
      return draft.dice.one<Section>([{ distribution: "log-normal" }, { center: "mean" }]);
    default:
      return {};
  }
}
