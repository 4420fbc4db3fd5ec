import * as E from "../../numerics/exp-table.ts";
import type { Code } from "./code.ts";
import type { LogTables } from "./log-tables.ts";
import { PowerLogarithm, splitter } from "./power-logarithm.ts";

// x to the power y of two lanes, in the order of operations of numerics/pow.ts: its special cases as selects, its
// positive core straight through.

/** Emits powers; its locals are made once and used again. */
export class Power {
  private readonly code: Code;
  private readonly tables: LogTables;
  private readonly logarithm: PowerLogarithm;
  private readonly vectors: number[] = [];

  constructor(code: Code, tables: LogTables) {
    this.code = code;
    this.tables = tables;
    this.logarithm = new PowerLogarithm(code, tables);
  }

  private locals(count: number): readonly number[] {
    while (this.vectors.length < count) this.vectors.push(this.code.local("v128"));
    return this.vectors.slice(0, count);
  }

  /** Base and exponent on the stack, the base below: leaves the power. */
  power(): void {
    const { code } = this;
    const [x, y, size, value, odd, whole, special] = this.locals(7) as [
      number,
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    code.set(y).set(x).get(x).lanes("absolute").set(size);
    this.positive(size, y, value);
    // y is an odd integer, y is an integer
    code.get(y).constant(0.5).lanes("multiply").tee(odd).lanes("floor").get(odd).lanes("unequal").set(odd);
    code.get(y).lanes("floor").get(y).lanes("equal").set(whole);
    code.get(odd).get(whole).lanes("and").set(odd);
    // a negative base: the sign of an odd power, NaN where the exponent is no integer
    code.get(value).lanes("negate").get(value).get(odd).lanes("select").constant(Number.NaN).get(whole).lanes("select");
    code.get(value).get(x).constant(0).lanes("less").lanes("select").set(value);
    // a base of 0 or Infinity: 0 or Infinity, with the sign of the base where y is odd
    code.constant(0).constant(Number.POSITIVE_INFINITY);
    code
      .get(size)
      .constant(0)
      .lanes("equal")
      .get(y)
      .constant(0)
      .lanes("greater")
      .lanes("xor")
      .lanes("not")
      .lanes("select")
      .set(special);
    code
      .get(special)
      .get(x)
      .pattern(0x80000000 | 0, 0)
      .lanes("and")
      .get(odd)
      .lanes("and")
      .lanes("or")
      .set(special);
    // an exponent of Infinity: NaN where the base is 1 in size
    code.constant(Number.NaN);
    code.constant(Number.POSITIVE_INFINITY).constant(0);
    code
      .get(size)
      .constant(1)
      .lanes("greater")
      .get(y)
      .constant(0)
      .lanes("greater")
      .lanes("xor")
      .lanes("not")
      .lanes("select");
    code.get(size).constant(1).lanes("equal").lanes("select");
    code
      .get(special)
      .get(y)
      .lanes("absolute")
      .constant(Number.POSITIVE_INFINITY)
      .lanes("equal")
      .lanes("select")
      .set(special);
    // ordinary arguments keep the value
    code.get(value).get(special);
    code.get(size).constant(0).lanes("unequal").get(size).constant(Number.POSITIVE_INFINITY).lanes("less").lanes("and");
    code.get(y).lanes("absolute").constant(Number.POSITIVE_INFINITY).lanes("less").lanes("and").lanes("select");
    // NaN in, NaN out, but for an exponent of 0
    code
      .constant(Number.NaN)
      .get(x)
      .get(x)
      .lanes("equal")
      .get(y)
      .get(y)
      .lanes("equal")
      .lanes("and")
      .lanes("select")
      .set(value);
    code.constant(1).get(value).get(y).constant(0).lanes("equal").lanes("select");
  }

  /** Sets `value` to x^y for positive finite x and finite y; anything else gives a number that is not used. */
  private positive(x: number, y: number, value: number): void {
    const { code } = this;
    const [small, pattern, k, v, entry, tail, r, a, b, main, high, low, product, productLost] = this.locals(21).slice(
      7,
    ) as unknown as number[];
    const get = (local: number | undefined): Code => code.get(local!);
    this.logarithm.parts(x, high!, low!);
    // the product with y in two parts
    get(y)
      .constant(2 ** 65)
      .lanes("lower")
      .constant(-(2 ** 65))
      .lanes("higher")
      .set(a!);
    get(a).constant(splitter).lanes("multiply").tee(b!).get(b!).get(a!).lanes("subtract").lanes("subtract").set(b!);
    get(high)
      .constant(splitter)
      .lanes("multiply")
      .tee(main!)
      .get(main!)
      .get(high!)
      .lanes("subtract")
      .lanes("subtract")
      .set(main!);
    get(b).get(main!).lanes("multiply").set(product!);
    get(a).get(b!).lanes("subtract").get(main!).lanes("multiply");
    get(a)
      .get(high!)
      .get(main!)
      .lanes("subtract")
      .get(low!)
      .lanes("add")
      .lanes("multiply")
      .lanes("add")
      .set(productLost!);
    // exp of the sum
    get(product).constant(-746).lanes("greater").get(product!).constant(710).lanes("less").lanes("and").set(small!);
    code
      .get(product!)
      .constant(710)
      .constant(-746)
      .get(product!)
      .constant(0)
      .lanes("greater")
      .lanes("select")
      .get(small!)
      .lanes("select")
      .set(k!);
    get(k)
      .constant(E.EXP_STEPS_PER_UNIT)
      .lanes("multiply")
      .constant(E.EXP_ROUNDER)
      .lanes("add")
      .tee(pattern!)
      .constant(E.EXP_ROUNDER)
      .lanes("subtract")
      .set(a!);
    get(k)
      .get(a!)
      .constant(E.EXP_STEP_HIGH)
      .lanes("multiply")
      .lanes("subtract")
      .get(a!)
      .constant(E.EXP_STEP_LOW)
      .lanes("multiply")
      .lanes("subtract");
    get(productLost).get(small!).lanes("and").lanes("add").set(r!);
    this.tables.expEntries(pattern!, tail!, entry!);
    get(k).constant(-700).lanes("less").set(small!);
    get(entry)
      .get(pattern!)
      .i32(44)
      .lanes("shiftLeft64")
      .lanes("add64")
      .pattern(-1 << 20, 0)
      .lanes("add64");
    get(small)
      .pattern(65 << 20, 0)
      .lanes("and")
      .lanes("add64")
      .set(v!);
    get(r).get(r!).lanes("multiply").set(b!);
    get(v).get(v!).get(r!).get(tail!).get(b!);
    code.constant(E.EXPM1_C2).get(r!).constant(E.EXPM1_C3).lanes("multiply").lanes("add");
    get(b)
      .constant(E.EXPM1_C4)
      .get(r!)
      .constant(E.EXPM1_C5)
      .lanes("multiply")
      .lanes("add")
      .lanes("multiply")
      .lanes("add");
    code.lanes("multiply").lanes("add").lanes("add").lanes("multiply").lanes("add");
    code
      .constant(2 ** -64)
      .constant(2)
      .get(small!)
      .lanes("select")
      .lanes("multiply")
      .set(value);
  }
}
