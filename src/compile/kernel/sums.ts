import type { Code } from "./code.ts";
import { type Ground, type Pointers, parameters } from "./ground.ts";
import type { Task } from "./stages.ts";
import type { Values } from "./values.ts";

/** A coefficient (or null for 1) times an opening row, a closing row, or the sum of the two; -1 stands for none. */
interface Term {
  readonly coefficient: number | null;
  readonly opening: number;
  readonly closing: number;
}

/** A sum of terms in their order, and what becomes of it. */
interface Sum {
  readonly terms: readonly Term[];
  /** Emits what is done with the value that `value` pushes. */
  readonly finish: (value: () => void) => void;
}

/**
 * Emits the sums of a part, one after the other: members who arrive in each state, members of sets, what is counted.
 * The compiler that comes next computes a value where it is stored and reads where it is told, so what a sum reads is
 * read beside its store.
 */
export class Sums {
  private readonly code: Code;
  private readonly ground: Ground;
  private readonly pointers: Pointers;
  private readonly values: Values;
  private readonly products = new Map<string, { uses: number; local: number | undefined }>();
  private readonly both = new Map<string, number>();

  constructor(code: Code, ground: Ground, pointers: Pointers, values: Values) {
    this.code = code;
    this.ground = ground;
    this.pointers = pointers;
    this.values = values;
  }

  /** Emits the sums among some tasks. */
  emit(tasks: readonly Task[]): void {
    const { code } = this;
    const sums = tasks.flatMap((task) => this.sum(task) ?? []);
    for (const { terms } of sums) {
      for (const term of terms) {
        if (term.closing >= 0) continue;
        const name = this.name(term);
        const known = this.products.get(name);
        if (known === undefined) this.products.set(name, { uses: 1, local: undefined });
        else known.uses += 1;
      }
    }
    for (const { terms, finish } of sums)
      finish(() => {
        if (terms.length === 0) code.constant(0);
        for (const [i, term] of terms.entries()) {
          this.term(term);
          if (i > 0) code.lanes("add");
        }
      });
  }

  private sum(task: Task): Sum | null {
    switch (task.does) {
      case "move":
        return {
          terms: task.flows.map(({ coefficient, from }) => ({ coefficient, opening: from, closing: -1 })),
          finish: (value) => this.storeRow(task.target, value),
        };
      case "sum":
        return {
          terms: task.members.map((state) => ({ coefficient: null, opening: -1, closing: state })),
          finish: (value) => this.storeRow(task.row, value),
        };
      case "count":
        return { terms: task.count.terms, finish: (value) => this.tally(task.count.tally, value) };
      default:
        return null;
    }
  }

  private term(term: Term): void {
    const { code } = this;
    const { coefficient, opening, closing } = term;
    if (closing >= 0) {
      this.product(coefficient, () => this.members(opening, closing));
      return;
    }
    const product = this.products.get(this.name(term))!;
    if (product.local !== undefined) {
      code.get(product.local);
      return;
    }
    this.product(coefficient, () => this.openRow(opening));
    if (product.uses === 1) return;
    product.local = code.local("v128");
    code.tee(product.local);
  }

  /** Pushes a coefficient times what `members` pushes; a coefficient of 1 changes no bit. */
  private product(coefficient: number | null, members: () => void): void {
    if (coefficient === null || this.isOne(coefficient)) members();
    else {
      this.values.push(coefficient);
      members();
      this.code.lanes("multiply");
    }
  }

  private isOne(coefficient: number): boolean {
    const { lens } = this.ground;
    const { low, high, nan } = lens.range(lens.node(coefficient));
    return low === 1 && high === 1 && !nan;
  }

  private name({ coefficient, opening }: Term): string {
    return `${coefficient === null ? 1 : this.ground.lens.node(coefficient)} ${opening}`;
  }

  /** Pushes the members of a closing row, and of an opening one where there is one. */
  private members(opening: number, closing: number): void {
    const { code } = this;
    const name = `${opening} ${closing}`;
    const known = this.both.get(name);
    if (known !== undefined) {
      code.get(known);
      return;
    }
    if (opening >= 0) this.openRow(opening);
    this.closeRow(closing);
    if (opening < 0) return;
    const local = code.local("v128");
    code.lanes("add").tee(local);
    this.both.set(name, local);
  }

  private openRow(row: number): void {
    this.values.read(`open ${row}`, () => this.code.get(this.pointers.open).load(16 * row));
  }

  private closeRow(row: number): void {
    this.values.read(`close ${row}`, () => this.code.get(this.pointers.close).load(16 * row));
  }

  private storeRow(row: number, value: () => void): void {
    this.code.get(this.pointers.close);
    value();
    this.code.tee(this.values.keep(`close ${row}`)).store(16 * row);
  }

  /** Adds a value times the tally's weight to the tally. */
  private tally(tally: number, value: () => void): void {
    const { code, ground } = this;
    const offset = ground.frame.tally(tally);
    code.get(parameters.frame);
    value();
    this.values.source(ground.weight(tally));
    code.lanes("multiply").get(parameters.frame).load(offset).lanes("add").store(offset);
  }
}
