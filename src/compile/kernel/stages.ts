import type { Demand } from "../graph.ts";
import type { Count, Flow } from "../plan.ts";
import type { Deep } from "./deep.ts";
import { deepForm } from "./deep.ts";
import type { Lens } from "./lens.ts";
import { mostBases } from "./within-range.ts";

/** Something a loop over cycles does: from some values, with an effect. */
export type Task =
  /** Leaves a value in an array. */
  | { readonly does: "keep"; readonly node: number; readonly at: Slot }
  /** Sees to it that a value is computed, for those who come later. */
  | { readonly does: "offer"; readonly node: number }
  | { readonly does: "check"; readonly node: number; readonly demand: Demand }
  | { readonly does: "move"; readonly target: number; readonly flows: readonly Flow[] }
  | { readonly does: "sum"; readonly row: number; readonly members: readonly number[] }
  | { readonly does: "count"; readonly count: Count };

/** An array of values by cycle, `slots` of them side by side, which a function may change in place. */
export interface Region {
  /** The function, the second array it takes, and one it works in; null where values only wait or there is none. */
  readonly deep: Deep | null;
  readonly beside: Region | null;
  readonly work: Region | null;
  /** Of exponents, arrays for their powers of further bases. */
  readonly further: readonly Region[];
  slots: number;
  /** Address in the kernel's memory, when it is known. */
  address: number;
}

/** A place in a region. */
export interface Slot {
  readonly region: Region;
  readonly slot: number;
}

/** A body of moderate size: what one loop over cycles does. */
export interface Part {
  readonly tasks: Task[];
  /** How often each node that it computes is used in it. */
  readonly uses: Map<number, number>;
}

/** A stage: its loops, then functions over the arrays they leave. */
export interface Stage {
  readonly parts: Part[];
  readonly regions: readonly Region[];
}

/** Nodes and terms a part takes in before another begins: values wait in memory between parts, so few is better. */
const partSize = 6000;

/** The nodes that a task reads. */
export function nodesOf(task: Task): readonly number[] {
  switch (task.does) {
    case "move":
      return task.flows.map((flow) => flow.coefficient);
    case "sum":
      return [];
    case "count":
      return task.count.terms.map((term) => term.coefficient);
    default:
      return [task.node];
  }
}

/**
 * Cuts what a transfer computes into stages. Functions that are worth a loop of their own stand between stages: what
 * they are applied to is left in arrays, for as many cycles as are taken together. All other nodes are computed where
 * they are first needed, and wait in an array where later parts need them too.
 */
export class Stages {
  readonly stages: readonly Stage[];
  /** All arrays. */
  readonly regions: Region[] = [];
  /** Late nodes of others that these stages read, and the stages that lend them, once these are known. */
  readonly borrowed = new Set<number>();
  lender: Stages | null = null;
  private readonly lens: Lens;
  private readonly isOwn: (node: number) => boolean;
  // by node
  private readonly levels: number[] = [];
  private readonly forms: (Deep | null)[] = [];
  private readonly slots: Slot[] = [];
  private readonly parts: Part[] = [];
  /** Nodes with a level, as they were found. */
  private readonly found: number[] = [];
  private readonly waiting: Region = { deep: null, beside: null, work: null, further: [], slots: 0, address: 0 };

  /** `isOwn` tells the late nodes that these stages compute; `last` are the tasks of the last stage. */
  constructor(
    lens: Lens,
    isOwn: (node: number) => boolean,
    last: readonly Task[],
    checks: readonly { readonly node: number; readonly demand: Demand }[],
  ) {
    this.lens = lens;
    this.isOwn = isOwn;
    this.regions.push(this.waiting);
    const asked = [...last.flatMap(nodesOf), ...checks.map(({ node }) => node)].map((node) => lens.node(node));
    const levels = [0, ...asked.map((node) => this.levelAfter(node))];
    const count = Math.max(...levels) + 1;
    const keeps = this.keeps();
    const stages = Array.from({ length: count }, (_, s) => {
      const tasks = [...(keeps.get(s)?.tasks ?? []), ...(s === count - 1 ? last : [])];
      return { parts: this.cut(tasks), regions: keeps.get(s)?.regions ?? [] };
    });
    for (const { node, demand } of checks) this.check(stages, lens.node(node), demand);
    this.stages = stages;
  }

  /** The place where a value waits, or is left by a function; undefined where the part at hand computes it. */
  slot(node: number): Slot | undefined {
    return this.slots[node];
  }

  /** The place of a value of these stages or of those they borrow from. */
  slotOfAny(node: number): Slot | undefined {
    return this.slots[node] ?? this.lender?.slotOfAny(node);
  }

  /** True where a part computes a node, which may be left for others. */
  computes(part: Part, node: number): boolean {
    return this.parts[node] === part;
  }

  /** The level of the stage in which a value is there to be read. */
  private levelAfter(node: number): number {
    if (!this.isOwn(node)) return 0;
    return this.level(node) + (this.form(node) === null ? 0 : 1);
  }

  private level(node: number): number {
    const known = this.levels[node];
    if (known !== undefined) return known;
    let level = 0;
    for (const operand of this.lens.operands(node)) level = Math.max(level, this.levelAfter(operand));
    this.levels[node] = level;
    this.found.push(node);
    return level;
  }

  private form(node: number): Deep | null {
    const known = this.forms[node];
    if (known !== undefined) return known;
    const found = deepForm(this.lens, node);
    this.forms[node] = found;
    return found;
  }

  /** By level, what must be left for functions. Nodes seen so far are all there are. */
  private keeps(): ReadonlyMap<number, { readonly tasks: Task[]; readonly regions: Region[] }> {
    const byLevel = new Map<number, { tasks: Task[]; regions: Region[] }>();
    const byKey = new Map<string, Region>();
    for (const [first, ...further] of this.together()) {
      const [level, deep] = [this.level(first!), this.form(first!)!];
      const stage = byLevel.get(level) ?? { tasks: [], regions: [] };
      byLevel.set(level, stage);
      const bases = further.map((node) => this.form(node)!.base);
      const key = [level, deep.name, deep.base, ...bases].join(" ");
      let region = byKey.get(key);
      if (region === undefined) {
        region = this.region(deep, {
          beside: deep.beside === null ? null : this.region(null),
          work: deep.name.startsWith("crude ") ? this.region(null) : null,
          further: further.map((node) => this.region(this.form(node)!)),
        });
        byKey.set(key, region);
        stage.regions.push(region);
      }
      const slot = region.slots++;
      this.slots[first!] = { region, slot };
      stage.tasks.push({ does: "keep", node: deep.of, at: { region, slot } });
      for (const [i, node] of further.entries()) this.slots[node] = { region: region.further[i]!, slot };
      for (const like of [...region.further, ...(region.work === null ? [] : [region.work])]) like.slots = region.slots;
      if (region.beside === null) continue;
      region.beside.slots = region.slots;
      stage.tasks.push({ does: "keep", node: deep.beside!, at: { region: region.beside, slot } });
    }
    return byLevel;
  }

  /** Nodes for functions over arrays; those that raise bases to one exponent within range stand together. */
  private together(): readonly (readonly number[])[] {
    const found: number[][] = [];
    const byExponent = new Map<number, number[]>();
    for (const node of this.found.filter((one) => this.form(one) !== null).sort((a, b) => a - b)) {
      const { name, of } = this.form(node)!;
      const known = name === "power within range" ? byExponent.get(of) : undefined;
      if (known !== undefined && known.length < mostBases) {
        known.push(node);
        continue;
      }
      const group = [node];
      found.push(group);
      if (name === "power within range") byExponent.set(of, group);
    }
    return found;
  }

  private region(
    deep: Deep | null,
    { beside = null, work = null, further = [] }: Partial<Pick<Region, "beside" | "work" | "further">> = {},
  ): Region {
    const region = { deep, beside, work, further, slots: 0, address: 0 };
    this.regions.push(region);
    return region;
  }

  private cut(tasks: readonly Task[]): Part[] {
    const parts: Part[] = [];
    let size = Number.POSITIVE_INFINITY;
    for (const task of tasks) {
      if (size >= partSize) {
        parts.push({ tasks: [], uses: new Map() });
        size = 0;
      }
      size += 2 * nodesOf(task).length + this.add(parts.at(-1)!, task);
    }
    return parts;
  }

  /** Adds a task to a part; returns how many nodes the part computes for it. */
  private add(part: Part, task: Task): number {
    part.tasks.push(task);
    const before = part.uses.size;
    for (const node of nodesOf(task)) this.use(part, this.lens.node(node));
    if (task.does === "offer") this.wait(this.lens.node(task.node));
    return part.uses.size - before;
  }

  private use(part: Part, node: number): void {
    if (!this.isOwn(node)) {
      if (this.lens.isLate(node)) this.borrowed.add(node);
      return;
    }
    if (this.form(node) !== null) return;
    const known = this.parts[node];
    if (known !== undefined && known !== part) {
      this.wait(node);
      return;
    }
    part.uses.set(node, (part.uses.get(node) ?? 0) + 1);
    if (known === part) return;
    this.parts[node] = part;
    for (const operand of this.lens.operands(node)) this.use(part, operand);
  }

  private wait(node: number): void {
    if (this.form(node) !== null || this.slots[node] !== undefined) return;
    this.slots[node] = { region: this.waiting, slot: this.waiting.slots++ };
  }

  /** Puts a check where its value is computed; what nobody else needs is computed last. */
  private check(stages: readonly Stage[], node: number, demand: Demand): void {
    const last = stages.at(-1)!.parts;
    const part = this.parts[node] ?? last.at(-1) ?? { tasks: [], uses: new Map() };
    if (last.length === 0) last.push(part);
    this.add(part, { does: "check", node, demand });
  }
}
