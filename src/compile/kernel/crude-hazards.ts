import { crudeIterations } from "../../numerics/crude-incidence.ts";
import { Code } from "./code.ts";
import { Elementary } from "./elementary.ts";
import { LogTables } from "./log-tables.ts";

/**
 * The hazards of crude incidences over `years`, in place, in the order of operations of numerics/crude-incidence.ts. Each
 * step goes through the whole array before the next, so that no step waits for the one before. Arguments: address of the
 * first pair of incidences and of the end, of the other hazards, and of an array for the total hazards.
 */
export function crudeHazards(years: number, tablesAt: number): Code {
  const code = new Code(4);
  const [from, to, others, totals] = [0, 1, 2, 3];
  const [p, h, u, left] = [code.local("i32"), code.local("i32"), code.local("i32"), code.local("i32")];
  const elementary = new Elementary(code, new LogTables(code, tablesAt));
  const [survived, died, slope] = [code.local("v128"), code.local("v128"), code.local("v128")];
  const each = (body: () => void): void => {
    code.get(from).set(p).get(others).set(h).get(totals).set(u);
    code.loop(() => {
      body();
      for (const local of [h, u]) code.get(local).i32(16).integer("add").set(local);
      code.get(p).i32(16).integer("add").tee(p).get(to).integer("lessUnsigned");
    });
  };
  const at = (local: number): Code => code.get(local).load(0);
  const minusTotal = (): void => {
    at(u);
    code.lanes("negate");
  };

  each(() => {
    code.get(h);
    at(h);
    code.constant(years).lanes("multiply").store(0);
    code.get(u);
    at(h);
    at(p);
    code.lanes("negate");
    elementary.log1p();
    code.lanes("subtract").store(0);
  });

  code.i32(crudeIterations).set(left);
  code.loop(() => {
    each(() => {
      minusTotal();
      elementary.exp();
      code.set(survived);
      minusTotal();
      elementary.expm1();
      code.lanes("negate").set(died);
      // (died - u survived) / (died died)
      code.get(died);
      at(u);
      code.get(survived).lanes("multiply").lanes("subtract");
      code.get(died).get(died).lanes("multiply").lanes("divide").set(slope);
      // u - (u - h - p u / died) / (1 - p slope)
      code.get(u);
      at(u);
      at(u);
      at(h);
      code.lanes("subtract");
      at(p);
      at(u);
      code.get(died).lanes("divide").lanes("multiply").lanes("subtract");
      code.constant(1);
      at(p);
      code.get(slope).lanes("multiply").lanes("subtract").lanes("divide").lanes("subtract").store(0);
    });
    code.get(left).i32(1).integer("subtract").tee(left);
  });

  each(() => {
    code.get(p);
    minusTotal();
    elementary.expm1();
    code.lanes("negate").set(died);
    // the hazard where the incidence lies between 0 and 1, else NaN; 0 where it is 0
    code.constant(0);
    at(p);
    at(u);
    code.get(died).lanes("divide").lanes("multiply").constant(years).lanes("divide");
    code.constant(Number.NaN);
    at(p);
    code.constant(0).lanes("greater");
    at(p);
    code.constant(1).lanes("less").lanes("and").lanes("select");
    at(p);
    code.constant(0).lanes("equal").lanes("select");
    code.store(0);
  });
  return code;
}
