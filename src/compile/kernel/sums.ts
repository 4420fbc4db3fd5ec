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

/** A sum of terms in their order, and what becomes of it: a row, or what is added to tallies that count the same. */
interface Sum {
  readonly terms: readonly Term[];
  readonly row: number | null;
  readonly tallies: number[];
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
    const sums = this.sums(tasks);
    for (const { terms } of sums) {
      for (const term of terms) {
        if (term.closing >= 0) continue;
        const name = this.name(term);
        const known = this.products.get(name);
        if (known === undefined) this.products.set(name, { uses: 1, local: undefined });
        else known.uses += 1;
      }
    }
    for (const { terms, row, tallies } of sums) {
      const value = (): void => {
        if (terms.length === 0) code.constant(0);
        for (const [i, term] of terms.entries()) {
          this.term(term);
          if (i > 0) code.lanes("add");
        }
      };
      if (row !== null) this.storeRow(row, value);
      else this.tally(tallies, value);
    }
  }

  /** The sums of some tasks in their order; what several tallies count alike is one. */
  private sums(tasks: readonly Task[]): readonly Sum[] {
    const found: Sum[] = [];
    const counted = new Map<string, Sum>();
    for (const task of tasks) {
      if (task.does === "move") {
        const terms = task.flows.map(({ coefficient, from }) => ({ coefficient, opening: from, closing: -1 }));
        found.push({ terms, row: task.target, tallies: [] });
      }
      if (task.does === "sum") {
        const terms = task.members.map((state) => ({ coefficient: null, opening: -1, closing: state }));
        found.push({ terms, row: task.row, tallies: [] });
      }
      if (task.does !== "count") continue;
      const { terms, tally } = task.count;
      const key = terms.map((term) => `${this.name(term)} ${term.closing}`).join();
      const known = counted.get(key);
      if (known !== undefined) {
        known.tallies.push(tally);
        continue;
      }
      const sum = { terms, row: null, tallies: [tally] };
      counted.set(key, sum);
      found.push(sum);
    }
    return found;
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

  /** Adds a value times the weight of each tally to it. */
  private tally(tallies: readonly number[], value: () => void): void {
    const { code, ground } = this;
    const sum = tallies.length > 1 ? code.local("v128") : null;
    if (sum !== null) {
      value();
      code.set(sum);
    }
    for (const tally of tallies) {
      const offset = ground.frame.tally(tally);
      code.get(parameters.frame);
      if (sum === null) value();
      else code.get(sum);
      this.values.source(ground.weight(tally));
      code.lanes("multiply").get(parameters.frame).load(offset).lanes("add").store(offset);
    }
  }
}
