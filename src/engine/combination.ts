import type { Axes } from "../compile/axes.ts";
import { axesOf } from "../compile/axes.ts";
import type { Bound } from "../compile/bound.ts";
import type { Match, Program } from "../compile/program.ts";

/** The person's joint state, as far as expressions can see it. */
export interface Standing {
  readonly levels: readonly number[];
  readonly clocks: readonly number[];
}

/** What of a standing some expressions depend on. */
export interface Combination {
  /** True where a value depends on time too. */
  readonly varies: boolean;
  /** The same for all who stand alike in it. */
  key(who: Standing): number | string;
}

const longestLasting = 1000;

/** Finds what expressions of a program depend on, once for each. */
export class Combinations {
  private readonly program: Program;
  private readonly ofFormulas = new Map<number, Axes>();
  private readonly ofNodes = new Map<Bound, Combination>();
  private readonly ofForms = new Map<object, Combination>();

  constructor(program: Program) {
    this.program = program;
  }

  /** What one expression depends on. */
  of(node: Bound): Combination {
    const known = this.ofNodes.get(node);
    if (known !== undefined) return known;
    const found = this.joint([node], []);
    this.ofNodes.set(node, found);
    return found;
  }

  /** What a thing depends on: all of some expressions and conditions, which are listed once. */
  ofAll(
    thing: object,
    list: () => { readonly nodes: readonly Bound[]; readonly matches: readonly Match[] },
  ): Combination {
    return kept(this.ofForms, thing, () => {
      const { nodes, matches } = list();
      return this.joint(nodes, matches);
    });
  }

  private joint(nodes: readonly Bound[], matches: readonly Match[]): Combination {
    const axes = nodes.map((node) => axesOf(node, this.program.formulas, this.ofFormulas));
    const conditions = matches.flatMap((match) => match.flatMap((admitted, f) => (admitted === null ? [] : [f])));
    const factors = new Set([...conditions, ...axes.flatMap((one) => [...one.factors])]);
    const clocks = new Set(axes.flatMap((one) => [...one.clocks]));
    return { varies: axes.some((one) => one.cycle), key: this.keyOf([...factors], [...clocks]) };
  }

  private keyOf(factors: readonly number[], clocks: readonly number[]): Combination["key"] {
    const sizes = factors.map((f) => this.program.factors[f]!.levels.length);
    const lengths = clocks.map((f) => {
      const { levels } = this.program.factors[f]!;
      return 1 + Math.max(...levels.map(({ lastsNode, cap }) => (lastsNode === null ? cap : longestLasting)));
    });
    if ([...sizes, ...lengths].reduce((product, size) => product * size, 1) > Number.MAX_SAFE_INTEGER)
      return (who) => `${factors.map((f) => who.levels[f]).join()}|${clocks.map((f) => who.clocks[f]).join()}`;
    return (who) => {
      let key = 0;
      for (let i = 0; i < sizes.length; i++) key = key * sizes[i]! + who.levels[factors[i]!]!;
      for (let i = 0; i < lengths.length; i++) key = key * lengths[i]! + who.clocks[clocks[i]!]!;
      return key;
    };
  }
}

/** What a map holds under a key, made when first asked for. */
export function kept<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key);
  if (known !== undefined) return known;
  const made = make();
  map.set(key, made);
  return made;
}

/** A thing that is there once for all who stand alike in what it depends on. */
export interface Kind {
  /** The place of what it is about in the files, and the combination of those it is for. */
  readonly order: number;
  readonly key: number | string;
}

/**
 * Puts a thing among others of other kinds, in an order that does not depend on when they were found: what is summed up
 * in it is the same to the last bit whoever else is there.
 */
export function putInOrder<Thing extends Kind>(things: Thing[], thing: Thing): void {
  const isAfter = (one: Thing): boolean =>
    one.order > thing.order || (one.order === thing.order && one.key > thing.key);
  const place = things.findIndex(isAfter);
  things.splice(place < 0 ? things.length : place, 0, thing);
}
