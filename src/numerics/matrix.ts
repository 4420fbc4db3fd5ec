/**
 * Square matrices of order n are Float64Arrays of length n * n, row by row. These functions return new arrays and leave
 * their arguments alone. They are for the small matrices of transition models; nothing is blocked or sparse.
 */

/** Throws unless the array holds a square matrix of order n with finite entries. */
export function assertSquare(a: Float64Array, n: number): void {
  if (a.length !== n * n) throw new Error(`matrix of order ${n} needs ${n * n} entries, found ${a.length}`);
  if (!a.every(Number.isFinite)) throw new Error("matrix with an entry that is not finite");
}

/**
 * The identity matrix of order n.
 *
 * @example
 * identity(2); // Float64Array [1, 0, 0, 1]
 */
export function identity(n: number): Float64Array {
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++) a[i * n + i] = 1;
  return a;
}

/**
 * The product a b; each entry is summed in ascending order of the inner index.
 *
 * @example
 * multiply(Float64Array.of(0, 1, 1, 0), Float64Array.of(1, 2, 3, 4), 2); // Float64Array [3, 4, 1, 2]
 */
export function multiply(a: Float64Array, b: Float64Array, n: number): Float64Array {
  const product = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let m = 0; m < n; m++) {
      const factor = a[i * n + m]!;
      for (let j = 0; j < n; j++) product[i * n + j]! += factor * b[m * n + j]!;
    }
  }
  return product;
}

/**
 * x a + y b, entry by entry, for two arrays of one length.
 *
 * @example
 * combine(2, Float64Array.of(1, 2), -1, Float64Array.of(1, 1)); // Float64Array [1, 3]
 */
export function combine(x: number, a: Float64Array, y: number, b: Float64Array): Float64Array {
  return a.map((value, i) => x * value + y * b[i]!);
}

/**
 * The 1-norm: the largest sum of absolute values down a column; 0 for order 0.
 *
 * @example
 * norm1(Float64Array.of(1, -2, 3, 4), 2); // 6
 */
export function norm1(a: Float64Array, n: number): number {
  let largest = 0;
  for (let j = 0; j < n; j++) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += Math.abs(a[i * n + j]!);
    largest = Math.max(largest, sum);
  }
  return largest;
}

/**
 * The solution X of a X = b, b and X being n rows of as many columns as b holds; `undefined` if a pivot is zero, so that a
 * is singular to working precision.
 *
 * Source: Gaussian elimination with partial pivoting; Higham, Accuracy and Stability of Numerical Algorithms (2nd ed.,
 * SIAM 2002), algorithm 9.2.
 *
 * @example
 * solve(Float64Array.of(2, 0, 0, 4), Float64Array.of(2, 2), 2); // Float64Array [1, 0.5]
 */
export function solve(a: Float64Array, b: Float64Array, n: number): Float64Array | undefined {
  const columns = n === 0 ? 0 : b.length / n;
  const u = Float64Array.from(a);
  const x = Float64Array.from(b);
  for (let m = 0; m < n; m++) {
    let pivot = m;
    for (let i = m + 1; i < n; i++) if (Math.abs(u[i * n + m]!) > Math.abs(u[pivot * n + m]!)) pivot = i;
    if (u[pivot * n + m] === 0) return undefined;
    if (pivot !== m) {
      exchange(u, pivot, m, n);
      exchange(x, pivot, m, columns);
    }
    for (let i = m + 1; i < n; i++) {
      const factor = u[i * n + m]! / u[m * n + m]!;
      if (factor === 0) continue;
      for (let j = m + 1; j < n; j++) u[i * n + j]! -= factor * u[m * n + j]!;
      for (let j = 0; j < columns; j++) x[i * columns + j]! -= factor * x[m * columns + j]!;
    }
  }
  for (let m = n - 1; m >= 0; m--) {
    for (let j = 0; j < columns; j++) {
      let value = x[m * columns + j]!;
      for (let i = m + 1; i < n; i++) value -= u[m * n + i]! * x[i * columns + j]!;
      x[m * columns + j] = value / u[m * n + m]!;
    }
  }
  return x;
}

function exchange(a: Float64Array, one: number, other: number, columns: number): void {
  for (let j = 0; j < columns; j++) {
    const value = a[one * columns + j]!;
    a[one * columns + j] = a[other * columns + j]!;
    a[other * columns + j] = value;
  }
}
