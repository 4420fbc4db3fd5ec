import { lookUp } from "../compile/look-up.ts";
import type { Table } from "../compile/program.ts";
import { crudeHazard } from "../numerics/crude-incidence.ts";
import { exp, expm1 } from "../numerics/exp.ts";
import { log, log1p } from "../numerics/log.ts";
import { pow } from "../numerics/pow.ts";

/**
 * One operation on `n` lanes, a multiple of 4: from the places `a`, `b`, `c` to the place `o`. A stride is 1 where an
 * operand has a number per lane, 0 where one number serves all. The result may stand where an operand stands.
 */
export type LaneLoop = (
  m: Float64Array,
  n: number,
  o: number,
  a: number,
  sa: number,
  b: number,
  sb: number,
  c: number,
  sc: number,
) => void;

// The loops that take most of the time are unrolled by four, which halves their time; the others are left short.

const add: LaneLoop = (m, n, o, a, sa, b, sb) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa, b += 4 * sb) {
    m[o] = m[a]! + m[b]!;
    m[o + 1] = m[a + sa]! + m[b + sb]!;
    m[o + 2] = m[a + 2 * sa]! + m[b + 2 * sb]!;
    m[o + 3] = m[a + 3 * sa]! + m[b + 3 * sb]!;
  }
};

const subtract: LaneLoop = (m, n, o, a, sa, b, sb) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa, b += 4 * sb) {
    m[o] = m[a]! - m[b]!;
    m[o + 1] = m[a + sa]! - m[b + sb]!;
    m[o + 2] = m[a + 2 * sa]! - m[b + 2 * sb]!;
    m[o + 3] = m[a + 3 * sa]! - m[b + 3 * sb]!;
  }
};

const multiply: LaneLoop = (m, n, o, a, sa, b, sb) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa, b += 4 * sb) {
    m[o] = m[a]! * m[b]!;
    m[o + 1] = m[a + sa]! * m[b + sb]!;
    m[o + 2] = m[a + 2 * sa]! * m[b + 2 * sb]!;
    m[o + 3] = m[a + 3 * sa]! * m[b + 3 * sb]!;
  }
};

const divide: LaneLoop = (m, n, o, a, sa, b, sb) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa, b += 4 * sb) {
    m[o] = m[a]! / m[b]!;
    m[o + 1] = m[a + sa]! / m[b + sb]!;
    m[o + 2] = m[a + 2 * sa]! / m[b + 2 * sb]!;
    m[o + 3] = m[a + 3 * sa]! / m[b + 3 * sb]!;
  }
};

const copy: LaneLoop = (m, n, o, a, sa) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa) {
    m[o] = m[a]!;
    m[o + 1] = m[a + sa]!;
    m[o + 2] = m[a + 2 * sa]!;
    m[o + 3] = m[a + 3 * sa]!;
  }
};

const accumulate: LaneLoop = (m, n, o, a, sa) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa) {
    m[o]! += m[a]!;
    m[o + 1]! += m[a + sa]!;
    m[o + 2]! += m[a + 2 * sa]!;
    m[o + 3]! += m[a + 3 * sa]!;
  }
};

const accumulateProduct: LaneLoop = (m, n, o, a, sa, b, sb) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa, b += 4 * sb) {
    m[o]! += m[a]! * m[b]!;
    m[o + 1]! += m[a + sa]! * m[b + sb]!;
    m[o + 2]! += m[a + 2 * sa]! * m[b + 2 * sb]!;
    m[o + 3]! += m[a + 3 * sa]! * m[b + 3 * sb]!;
  }
};

const productOfSum: LaneLoop = (m, n, o, a, sa, b, sb, c, sc) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa, b += 4 * sb, c += 4 * sc) {
    m[o] = m[a]! * (m[b]! + m[c]!);
    m[o + 1] = m[a + sa]! * (m[b + sb]! + m[c + sc]!);
    m[o + 2] = m[a + 2 * sa]! * (m[b + 2 * sb]! + m[c + 2 * sc]!);
    m[o + 3] = m[a + 3 * sa]! * (m[b + 3 * sb]! + m[c + 3 * sc]!);
  }
};

const accumulateProductOfSum: LaneLoop = (m, n, o, a, sa, b, sb, c, sc) => {
  for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa, b += 4 * sb, c += 4 * sc) {
    m[o]! += m[a]! * (m[b]! + m[c]!);
    m[o + 1]! += m[a + sa]! * (m[b + sb]! + m[c + sc]!);
    m[o + 2]! += m[a + 2 * sa]! * (m[b + 2 * sb]! + m[c + 2 * sc]!);
    m[o + 3]! += m[a + 3 * sa]! * (m[b + 3 * sb]! + m[c + 3 * sc]!);
  }
};

/** The loops by name of the operation; the tables are those of the program. */
export function laneLoops(tables: readonly Table[]): Readonly<Record<string, LaneLoop>> {
  return {
    add,
    subtract,
    multiply,
    divide,
    copy,
    sum: accumulate,
    add_product: accumulateProduct,
    product_of_sum: productOfSum,
    add_product_of_sum: accumulateProductOfSum,
    power(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = pow(m[a + l * sa]!, m[b + l * sb]!);
    },
    min(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) {
        const x = m[a + l * sa]!;
        const y = m[b + l * sb]!;
        // biome-ignore lint/complexity/useMathMinMax: as a comparison, whose NaN and signed zeros differ
        m[o + l] = x < y ? x : y;
      }
    },
    max(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) {
        const x = m[a + l * sa]!;
        const y = m[b + l * sb]!;
        // biome-ignore lint/complexity/useMathMinMax: as a comparison, whose NaN and signed zeros differ
        m[o + l] = x > y ? x : y;
      }
    },
    less(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! < m[b + l * sb]! ? 1 : 0;
    },
    less_or_equal(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! <= m[b + l * sb]! ? 1 : 0;
    },
    greater(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! > m[b + l * sb]! ? 1 : 0;
    },
    greater_or_equal(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! >= m[b + l * sb]! ? 1 : 0;
    },
    equal(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! === m[b + l * sb]! ? 1 : 0;
    },
    unequal(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! !== m[b + l * sb]! ? 1 : 0;
    },
    and(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! !== 0 && m[b + l * sb]! !== 0 ? 1 : 0;
    },
    or(m, n, o, a, sa, b, sb) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! !== 0 || m[b + l * sb]! !== 0 ? 1 : 0;
    },
    not(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! === 0 ? 1 : 0;
    },
    negate(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = -m[a + l * sa]!;
    },
    exp(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = exp(m[a + l * sa]!);
    },
    log(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = log(m[a + l * sa]!);
    },
    expm1(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = expm1(m[a + l * sa]!);
    },
    log1p(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = log1p(m[a + l * sa]!);
    },
    sqrt(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = Math.sqrt(m[a + l * sa]!);
    },
    abs(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = Math.abs(m[a + l * sa]!);
    },
    floor(m, n, o, a, sa) {
      for (let l = 0; l < n; l++) m[o + l] = Math.floor(m[a + l * sa]!);
    },
    if(m, n, o, a, sa, b, sb, c, sc) {
      for (let l = 0; l < n; l++) m[o + l] = m[a + l * sa]! !== 0 ? m[b + l * sb]! : m[c + l * sc]!;
    },
    // incidence and other hazards; the third operand is the period
    crude(m, n, o, a, sa, b, sb, c) {
      const years = m[c]!;
      for (let l = 0; l < n; l++) m[o + l] = crudeHazard(m[a + l * sa]!, m[b + l * sb]!, years);
    },
    // position and series; the third operand is the number of the table itself
    table(m, n, o, a, sa, b, sb, c) {
      const table = tables[c]!;
      for (let l = 0; l < n; l++) m[o + l] = lookUp(table, m[a + l * sa]!, m[b + l * sb]!);
    },
    // the value where it lies from the second to the third operand, else 0
    keep(m, n, o, a, sa, b, _sb, c) {
      const low = m[b]!;
      const high = m[c]!;
      for (let l = 0; l < n; l++) {
        const value = m[a + l * sa]!;
        m[o + l] = value >= low && value <= high ? value : 0;
      }
    },
    // leaves a 1 where the value does not
    check(m, n, o, a, sa, b, _sb, c) {
      const low = m[b]!;
      const high = m[c]!;
      for (let l = 0; l < n; l += 4, o += 4, a += 4 * sa) {
        const v0 = m[a]!;
        const v1 = m[a + sa]!;
        const v2 = m[a + 2 * sa]!;
        const v3 = m[a + 3 * sa]!;
        // NaN fails both comparisons
        if (v0 >= low && v1 >= low && v2 >= low && v3 >= low && v0 <= high && v1 <= high && v2 <= high && v3 <= high)
          continue;
        for (let i = 0; i < 4; i++) {
          const value = m[a + i * sa]!;
          if (!(value >= low && value <= high)) m[o + i] = 1;
        }
      }
    },
    // people at either end, of whom a share other than 0 is concerned
    present(m, n, o, a, sa, b, sb, c, sc) {
      for (let l = 0; l < n; l++)
        m[o + l] = (m[a + l * sa]! !== 0 || m[b + l * sb]! !== 0) && m[c + l * sc]! !== 0 ? 1 : 0;
    },
  };
}
