/** Of several groups, for each the first one that has something in common with it. */
export type Alike = readonly number[];

/** Groups that have the same value. */
export function alikeIn(values: readonly number[]): Alike {
  return values.map((value) => values.findIndex((other) => Object.is(other, value)));
}

/** Groups that are alike in several things at once; there is at least one thing. */
export function alikeInAll(all: readonly Alike[]): Alike {
  const [first = [], ...others] = all;
  if (others.every((other) => other === first)) return first;
  return first.map((_, group) => first.findIndex((_, early) => all.every((one) => one[early] === one[group])));
}
