import type { Program } from "../compile/program.ts";
import { inputError } from "../errors.ts";
import { converted } from "../evidence/base-value.ts";
import { type Dependence, readDependence } from "../evidence/dependence.ts";
import { type Laws, lawsOf } from "../evidence/laws.ts";
import { inRange, rangeText } from "../evidence/range.ts";
import { correlateUniforms } from "../numerics/copula.ts";
import type { Design } from "../numerics/designs/design.ts";
import { beta } from "../numerics/distributions/beta.ts";
import type { Distribution } from "../numerics/distributions/distribution.ts";
import { gamma } from "../numerics/distributions/gamma.ts";
import { sameDimension, utility } from "../schema/dimension.ts";

/** Everything needed to turn uniforms into rows of input values. */
export interface Sampler {
  readonly program: Program;
  readonly laws: Laws;
  readonly dependence: Dependence;
  /** Laws of the gaps of ordered chains, per chain and gap. */
  readonly gaps: readonly (readonly GapLaw[])[];
}

/** A gap above the lower neighbour: an amount, or a share of the room up to 1. */
interface GapLaw {
  readonly law: Distribution;
  readonly ofRoom: boolean;
}

/** Reads the laws and dependences of a program. Throws evidence-invalid and unknown-reference, all at once. */
export function sampler(program: Program): Sampler {
  const laws = lawsOf(program.components, (component) => {
    const input = program.inputs[component.input]!;
    return {
      kind: input.kind,
      isSlope: input.kind === "utility" && !sameDimension(input.type.dimension, utility),
    };
  });
  const dependence = readDependence(program.scenario, program.components, laws);
  const gaps = dependence.chains.map((chain) =>
    chain.members.slice(1).map((index, i) => gapLaw(program, laws, chain.members[i]!, index)),
  );
  return { program, laws, dependence, gaps };
}

/**
 * The gap between neighbours of an ordered chain: its mean is the difference of their means, its variance what the upper
 * one has more than the lower, at least (a tenth of the mean)^2. Of values that end at 1 it is a share of the room left.
 */
function gapLaw(program: Program, laws: Laws, lower: number, upper: number): GapLaw {
  const [a, b] = [laws.drawings[lower]!, laws.drawings[upper]!];
  if (a.how !== "law" || b.how !== "law") throw new Error("an ordered chain holds a value without a law");
  const mean = b.law.mean - a.law.mean;
  const variance = Math.max(b.law.variance - a.law.variance, (mean / 10) * (mean / 10));
  const { kind } = program.inputs[program.components[upper]!.input]!;
  const ofRoom = kind === "probability" || kind === "share" || kind === "utility";
  if (!ofRoom) return { law: gamma((mean * mean) / variance, variance / mean), ofRoom };
  const room = 1 - a.law.mean;
  const m = mean / room;
  const size = Math.max(1, (m * (1 - m) * room * room) / variance - 1);
  return { law: beta(m * size, (1 - m) * size), ofRoom };
}

/** Memory for rows of draws that one call after another may use. */
export interface SampleRoom {
  /** Uniforms, one array for each component. */
  readonly columns: readonly Float64Array[];
  readonly rows: Float64Array;
}

/** Memory for so many draws at a time. */
export function sampleRoom({ program: { components } }: Sampler, draws: number): SampleRoom {
  return {
    columns: components.map(() => new Float64Array(draws)),
    rows: new Float64Array(draws * components.length),
  };
}

/**
 * Rows of input values for draws `from` to `to`, `[draw][component]`, in the model's units. A draw's row depends on the
 * draw's number only. They lie in `room` where it is given, until it is used again. Throws out-of-range where a law
 * reaches outside the input's range, with the draw.
 */
export function sampleRows(
  sampler: Sampler,
  design: Design,
  from: number,
  to: number,
  room: SampleRoom = sampleRoom(sampler, to - from),
): Float64Array {
  const { program, laws, dependence } = sampler;
  const { components } = program;
  const width = components.length;
  const count = to - from;
  // uniforms, structure of arrays: [component][draw]
  const u = components.map((component, i) => {
    const column = room.columns[i]!.subarray(0, count);
    const drawing = laws.drawings[i]!;
    if (drawing.how === "law" || drawing.how === "cell" || drawing.how === "choice")
      design.fill(component.key, i, from, to, column);
    else column.fill(0);
    return column;
  });
  for (const block of dependence.blocks)
    correlateUniforms(
      block.members.map((index) => u[index]!),
      block.factor,
    );
  const shared = new Map<string, Float64Array>();
  const rows = room.rows.subarray(0, count * width).fill(0);
  for (const [i, drawing] of laws.drawings.entries()) {
    const { conversion, base } = components[i]!;
    const set = (value: (k: number) => number): void => {
      for (let k = 0; k < count; k++) rows[k * width + i] = value(k);
    };
    const uniforms = u[i]!;
    if (drawing.how === "fixed") set(() => base);
    else if (drawing.how === "law") {
      const draw = drawing.law.draw ?? drawing.law.quantile;
      if (conversion.how === "none") for (let k = 0; k < count; k++) rows[k * width + i] = draw(uniforms[k]!);
      else set((k) => converted(draw(uniforms[k]!), conversion));
    } else if (drawing.how === "choice") set((k) => chosen(drawing.weights, uniforms[k]!));
    else if (drawing.how === "rows") {
      const { file, values } = drawing;
      const index = shared.get(file) ?? new Float64Array(count);
      if (!shared.has(file)) design.fill(`rows of ${file}`, width + shared.size, from, to, index);
      shared.set(file, index);
      set((k) => converted(values[Math.min(values.length - 1, Math.floor(index[k]! * values.length))]!, conversion));
    }
  }
  drawJoints(sampler, u, rows, count);
  drawChains(sampler, u, rows, count);
  for (const i of laws.drawings.keys()) {
    const origin = originOf(laws, i);
    if (origin !== i) for (let k = 0; k < count; k++) rows[k * width + i] = rows[k * width + origin]!;
  }
  checkRanges(program, laws, rows, count, from);
  return rows;
}

function originOf(laws: Laws, i: number): number {
  let at = i;
  for (let step = 0; step <= laws.drawings.length; step++) {
    const drawing = laws.drawings[at]!;
    if (drawing.how !== "same") return at;
    at = drawing.as;
  }
  throw new Error("a chain of same_as does not end");
}

function drawJoints({ program, laws }: Sampler, u: readonly Float64Array[], rows: Float64Array, count: number): void {
  const width = program.components.length;
  for (const joint of laws.joints) {
    const cells = new Float64Array(joint.members.length);
    const uniforms = new Float64Array(joint.members.length);
    for (let k = 0; k < count; k++) {
      for (const [cell, index] of joint.members.entries()) uniforms[cell] = u[index]![k]!;
      joint.law.shares(uniforms, cells);
      for (const [cell, index] of joint.members.entries())
        rows[k * width + index] = converted(cells[cell]!, program.components[index]!.conversion);
    }
  }
}

function drawChains(
  { program, dependence, gaps }: Sampler,
  u: readonly Float64Array[],
  rows: Float64Array,
  count: number,
): void {
  const width = program.components.length;
  for (const [c, chain] of dependence.chains.entries()) {
    for (const [i, { law, ofRoom }] of gaps[c]!.entries()) {
      const [lower, upper] = [chain.members[i]!, chain.members[i + 1]!];
      const draw = law.draw ?? law.quantile;
      for (let k = 0; k < count; k++) {
        const below = rows[k * width + lower]!;
        const gap = draw(u[upper]![k]!);
        rows[k * width + upper] = ofRoom ? below + (1 - below) * gap : below + gap;
      }
    }
  }
}

function chosen(weights: readonly number[], u: number): number {
  let sum = 0;
  for (const [i, weight] of weights.entries()) {
    sum += weight;
    if (u < sum && weight > 0) return i;
  }
  return weights.findLastIndex((weight) => weight > 0);
}

/** Throws out-of-range for the first draw that is, whatever block it comes in. */
function checkRanges(program: Program, laws: Laws, rows: Float64Array, count: number, from: number): void {
  const { components, inputs } = program;
  const width = components.length;
  let first = count;
  let found = -1;
  for (const [i, component] of components.entries()) {
    const { kind, type } = inputs[component.input]!;
    const free =
      laws.drawings[i]!.how === "fixed" || kind === "choice" || (kind === "utility" && type.dimension[2] !== 0);
    if (free) continue;
    for (let k = 0; k < first; k++) {
      if (inRange(kind, rows[k * width + i]!)) continue;
      first = k;
      found = i;
    }
  }
  const component = components[found];
  if (component === undefined) return;
  throw inputError(
    component.place,
    "out-of-range",
    `${component.key} in draw ${from + first + 1}`,
    String(rows[first * width + found]),
    `${rangeText(inputs[component.input]!.kind)}; give a range or another distribution`,
  );
}
