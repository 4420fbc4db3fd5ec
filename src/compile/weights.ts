import type { Weight } from "./plan.ts";
import type { Program } from "./program.ts";
import type { Point } from "./transitions.ts";

/** A weight on amounts over time, with the memberships it goes with. */
export interface OverTimeWeight {
  readonly weight: number;
  readonly opening: boolean;
  readonly closing: boolean;
}

/** The weights of a plan, each kept once and known by its number. */
export class Weights {
  readonly list: Weight[] = [];
  /** The number under which undiscounted life years are counted. */
  readonly lifeYears: number;
  private readonly program: Program;

  constructor(program: Program) {
    this.program = program;
    this.lifeYears = program.accounts.length;
  }

  /** Of what happens once, at a point of the cycle. */
  once(account: number, point: Point): number {
    return this.number({ discount: this.discountOf(account), point, scale: 1, boundary: false });
  }

  /** Of amounts per year in an account as the counting rule takes them. */
  overTime(account: number): readonly OverTimeWeight[] {
    const { analysis, grid } = this.program;
    const dt = grid.cycleYears;
    const discount = this.discountOf(account);
    const weight = (point: Weight["point"], scale: number, boundary = false): number =>
      this.number({ discount, point, scale, boundary });
    switch (analysis.counting.rule) {
      case "start":
        return [{ weight: weight("start", dt), opening: true, closing: false }];
      case "end":
        return [{ weight: weight("end", dt), opening: false, closing: true }];
      case "middle":
        return [{ weight: weight("middle", dt / 2), opening: true, closing: true }];
      case "trapezoid":
        return [
          { weight: weight("start", dt / 2), opening: true, closing: false },
          { weight: weight("end", dt / 2), opening: false, closing: true },
        ];
      case "boundary":
        return [{ weight: weight("start", dt, true), opening: true, closing: false }];
    }
  }

  /** How an account is discounted; by the first of the kinds that are the same in this scenario. */
  private discountOf(account: number): Weight["discount"] {
    const { discount } = this.program.analysis;
    const kind = this.program.accounts[account]?.discount ?? "none";
    const text = (one: Weight["discount"]) =>
      JSON.stringify(one === "none" ? [] : discount[one].filter(({ rate }, i) => rate !== 0 || i > 0));
    return (["none", "costs", "effects"] as const).find((one) => text(one) === text(kind))!;
  }

  private number(weight: Weight): number {
    const known = this.list.findIndex(
      (one) =>
        one.discount === weight.discount &&
        one.point === weight.point &&
        one.scale === weight.scale &&
        one.boundary === weight.boundary,
    );
    return known >= 0 ? known : this.list.push(weight) - 1;
  }
}
