import type { Sampler } from "../engine/sample.ts";
import { inputError } from "../errors.ts";
import { converted } from "../evidence/base-value.ts";
import { inRange, rangeText } from "../evidence/range.ts";
import { quantiles } from "../numerics/quantile.ts";

/** An uncertain value with the values it takes by itself. */
export interface OneWayInput {
  readonly component: number;
  /** The ends of its 95 % interval in rising order; of a choice the positions of all that are possible. */
  readonly values: readonly number[];
}

/** Rows in which one value at a time leaves its base value. */
export interface OneWayRows {
  readonly inputs: readonly OneWayInput[];
  /** The base row, then a row for each value of each input. */
  readonly rows: Float64Array;
}

const tails = [0.025, 0.975] as const;

/**
 * One row for each end of each uncertain value's 95 % interval, all others at their base values. What hangs on the value
 * follows it: what is the same as it, the cells beside it in a sum (in proportion), what is ordered above it (at its base
 * distance). Throws out-of-range where a law reaches outside the input's range.
 */
export function oneWayRows(sampler: Sampler): OneWayRows {
  const { components } = sampler.program;
  const base = Float64Array.from(components, (component) => component.base);
  const inputs = components.flatMap((_, component): OneWayInput[] => {
    const values = valuesOf(sampler, base, component);
    return values.length < 2 ? [] : [{ component, values }];
  });
  const changed = inputs.flatMap(({ component, values }) =>
    values.map((value) => changedRow(sampler, base, component, value)),
  );
  const rows = new Float64Array((changed.length + 1) * base.length);
  for (const [k, row] of [base, ...changed].entries()) rows.set(row, k * base.length);
  return { inputs, rows };
}

function valuesOf(sampler: Sampler, base: Float64Array, index: number): readonly number[] {
  const { laws, program } = sampler;
  const drawing = laws.drawings[index]!;
  const { conversion } = program.components[index]!;
  const reported = (values: readonly number[]): readonly number[] => {
    const [low, high] = values.map((value) => converted(value, conversion)).sort((a, b) => a - b);
    return within(sampler, index, low === high ? [] : [low!, high!]);
  };
  switch (drawing.how) {
    case "law": {
      const gap = gapBelow(sampler, base, index);
      if (gap === null) return reported(tails.map((p) => drawing.law.quantile(p)));
      return within(
        sampler,
        index,
        tails.map((p) => gap.above(gap.law.quantile(p))),
      );
    }
    case "cell": {
      const { law } = laws.joints[drawing.joint]!;
      if (law.alphas.filter((alpha) => alpha > 0).length < 2 || law.alphas[drawing.cell] === 0) return [];
      return reported(tails.map((p) => law.marginal(drawing.cell).quantile(p)));
    }
    case "rows":
      return reported(quantiles(drawing.values, tails));
    case "choice": {
      const possible = [...drawing.weights.keys()].filter((choice) => drawing.weights[choice]! > 0);
      return possible.length < 2 ? [] : possible;
    }
    default:
      return [];
  }
}

function within({ program }: Sampler, index: number, values: readonly number[]): readonly number[] {
  const { input, key, place } = program.components[index]!;
  const { kind, type } = program.inputs[input]!;
  // a utility per unit of something is a slope and may be anything, as in draws
  const isFree = kind === "utility" && type.dimension[2] !== 0;
  for (const value of values)
    if (!isFree && !inRange(kind, value))
      throw inputError(
        place,
        "out-of-range",
        `an end of the 95 % interval of ${key}`,
        String(value),
        `${rangeText(kind)}; give a range or another distribution`,
      );
  return values;
}

function changedRow(sampler: Sampler, base: Float64Array, index: number, value: number): Float64Array {
  const { laws, dependence, program } = sampler;
  const row = Float64Array.from(base);
  row[index] = value;
  const drawing = laws.drawings[index]!;
  if (drawing.how === "cell") {
    const { members } = laws.joints[drawing.joint]!;
    const others = members.filter((member) => member !== index);
    const left = others.reduce((sum, member) => sum + base[member]!, 0);
    for (const member of others) row[member] = left > 0 ? (base[member]! / left) * (1 - value) : 0;
  }
  for (const { members } of dependence.chains) {
    const from = members.indexOf(index);
    if (from < 0) continue;
    for (const upper of members.slice(from + 1)) {
      const gap = gapBelow(sampler, row, upper)!;
      row[upper] = gap.above(gap.of(base));
    }
  }
  for (const [i, { how }] of laws.drawings.entries()) {
    if (how !== "same") continue;
    row[i] = row[originOf(sampler, i, program.components.length)]!;
  }
  return row;
}

function originOf({ laws }: Sampler, index: number, limit: number): number {
  let at = index;
  for (let step = 0; step <= limit; step++) {
    const drawing = laws.drawings[at]!;
    if (drawing.how !== "same") return at;
    at = drawing.as;
  }
  throw new Error("a chain of same_as does not end");
}

/** How a value stands above its lower neighbour in an ordered chain; null where it has none. */
function gapBelow({ dependence, gaps }: Sampler, row: Float64Array, index: number) {
  for (const [c, { members }] of dependence.chains.entries()) {
    const place = members.indexOf(index);
    if (place < 1) continue;
    const { law, ofRoom } = gaps[c]![place - 1]!;
    const lower = members[place - 1]!;
    const below = row[lower]!;
    return {
      law,
      above: (gap: number): number => (ofRoom ? below + (1 - below) * gap : below + gap),
      /** The gap in another row. */
      of: (other: Float64Array): number => {
        const gap = other[index]! - other[lower]!;
        return ofRoom ? gap / (1 - other[lower]!) : gap;
      },
    };
  }
  return null;
}
