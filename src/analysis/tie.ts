/** Relative difference up to which two costs, two effects or two ratios count as equal. */
const tieTolerance = 1e-9;

/**
 * Whether two numbers differ by less than 1e-9 of the larger magnitude, so that rounding in a total never decides
 * which strategy wins.
 *
 * Two zeros are equal; zero equals nothing else. The relation is not transitive: long chains of near-ties may end apart.
 * @example isTie(1, 1 + 1e-12) // true
 */
export function isTie(a: number, b: number): boolean {
  return a === b || Math.abs(a - b) < tieMargin(a, b);
}

/**
 * The difference at which two numbers stop being tied: 1e-9 of the larger magnitude.
 * @example tieMargin(-2e9, 1) // 2
 */
export function tieMargin(a: number, b: number): number {
  return tieTolerance * Math.max(Math.abs(a), Math.abs(b));
}

/**
 * -1, 0 or 1: whether `a` is smaller than `b`, tied with it (see `isTie`) or larger.
 * @example compareWithTies(2, 1) // 1
 */
export function compareWithTies(a: number, b: number): -1 | 0 | 1 {
  if (isTie(a, b)) return 0;
  return a < b ? -1 : 1;
}
