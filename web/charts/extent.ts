import type { AxisExtent } from "./axes.ts";

const niceSteps = [1, 2, 2.5, 5, 10];

/** Room for values and zero in whole steps of 1, 2, 2.5 or 5 times a power of ten, about `count` of them. */
export function roundExtent(values: readonly number[], count = 6): Required<Pick<AxisExtent, "min" | "max" | "step">> {
  const low = Math.min(0, ...values);
  const high = Math.max(0, ...values);
  const rough = (high - low || 1) / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * (niceSteps.find((nice) => nice * power >= rough * 0.999) ?? 10);
  // a little room beyond the outermost value, and at least half a step beyond zero
  return {
    min: Math.floor((low - step * 0.15) / step) * step,
    max: Math.ceil((high + step * 0.15) / step) * step,
    step,
  };
}
