import { bmi, caseCost, duration, money, utility, yearlyCost } from "./amounts.ts";
import { caseChance, chancePer, rate } from "./chances.ts";
import type { Audience, Draft } from "./draft.ts";
import { readInput } from "./inputs.ts";
import { condition, fraction, number, scale } from "./numbers.ts";
import type { Pen, Yields } from "./pen.ts";
import { duration as lag, type Wanted } from "./quantities.ts";

/** A pen for an audience. */
export function penFor(draft: Draft, audience: Audience): Pen {
  return new Writer(draft, audience);
}

const grammar: Readonly<Record<Yields, (pen: Pen, depth: number) => string>> = {
  ...{ condition, number, fraction, scale, rate, "case chance": caseChance },
  ...{ "yearly cost": yearlyCost, money, "case cost": caseCost, utility, duration, bmi },
  "chance per year": (pen, depth) => chancePer(pen, "year", depth),
  "chance per month": (pen, depth) => chancePer(pen, "month", depth),
  "chance per week": (pen, depth) => chancePer(pen, "week", depth),
  "chance per 5 years": (pen, depth) => chancePer(pen, "5 years", depth),
};

class Writer implements Pen {
  readonly draft: Draft;
  readonly audience: Audience;

  constructor(draft: Draft, audience: Audience) {
    this.draft = draft;
    this.audience = audience;
  }

  write(yields: Yields, depth = 3): string {
    const { dice } = this.draft;
    if (depth > 0 && dice.chance(25)) {
      const named = this.named(yields);
      if (named.length > 0) return dice.one(named)();
    }
    if (depth > 1 && yields !== "condition" && dice.chance(20)) return this.conditional(yields, depth - 1);
    return grammar[yields](this, depth);
  }

  input(wanted: Wanted): string {
    return readInput(this.draft, wanted, this.audience);
  }

  named(yields: string): readonly (() => string)[] {
    const { dice, formulas, tables, strategies } = this.draft;
    const usable = formulas.filter(
      (formula) => formula.yields === yields && (this.audience.person || !formula.ofPerson),
    );
    return [
      ...usable.flatMap(({ name }) => [() => name, () => name, () => `${name}.${dice.one(strategies)}`]),
      ...usable.flatMap(({ name, ofCycle }) => (ofCycle ? [] : [() => `${name}(time - ${this.lag()})`])),
      ...tables.filter((table) => table.yields === yields).map((table) => () => this.lookUp(table)),
    ];
  }

  private lag(): string {
    const { dice } = this.draft;
    return dice.chance(20) ? this.input(lag) : dice.one(["cycle_length", "1 year", "2 months", "0"]);
  }

  private lookUp(table: Draft["tables"][number]): string {
    const { dice } = this.draft;
    const keys = table.keys.map((levels) => {
      const names = [
        ...(this.audience.person ? this.draft.factors : []).filter((factor) =>
          factor.levels.every(({ name }) => levels.includes(name)),
        ),
        ...this.draft.attributes.filter((attribute) => attribute.levels?.every((name) => levels.includes(name))),
        ...this.draft.choices.filter((choice) => choice.options.every((name) => levels.includes(name))),
      ].map(({ name }) => name);
      return dice.one([dice.one(levels), ...names, ...names]);
    });
    const ages = this.draft.attributes.filter(({ unit }) => unit === "year").map(({ name }) => name);
    const at =
      table.axis === "age"
        ? `${dice.one([...ages, "40 years"])} + time`
        : dice.one(["time", "time", duration(this, 1)]);
    return `${table.name}(${[at, ...keys].join(", ")})`;
  }

  /** `test ? a : b`; where the test is a mark, the branch for the marked strategies is written for them alone. */
  private conditional(yields: Yields, depth: number): string {
    const { dice, marks } = this.draft;
    const own = [...marks].filter(([, ids]) => ids.some((id) => this.audience.strategies.includes(id)));
    if (own.length > 0 && dice.chance(30)) {
      const [mark, ids] = dice.one(own);
      const marked = this.audience.strategies.filter((id) => ids.includes(id));
      const yes = penFor(this.draft, { ...this.audience, strategies: marked }).write(yields, depth);
      return `(${mark} ? ${yes} : ${this.write(yields, depth)})`;
    }
    return `(${condition(this, depth)} ? ${this.write(yields, depth)} : ${this.write(yields, depth)})`;
  }
}
