import type { ArrayFunctions } from "./array-functions.ts";
import { emitBody } from "./body.ts";
import { Code } from "./code.ts";
import type { Deep } from "./deep.ts";
import { type Ground, Pointers, parameters } from "./ground.ts";
import type { Functions } from "./module.ts";
import type { Part, Region, Stages } from "./stages.ts";
import type { TableFunctions } from "./table-functions.ts";

const parameterCount = Object.keys(parameters).length;
const { count, cycle, groupCycle, frame } = parameters;

/** Emits the functions that take a transfer through some cycles, for one group or for what groups share. */
export class Loops {
  private readonly ground: Ground;
  private readonly functions: Functions;
  private readonly arrays: ArrayFunctions;
  private readonly tables: TableFunctions;

  constructor(ground: Ground, functions: Functions, arrays: ArrayFunctions, tables: TableFunctions) {
    this.ground = ground;
    this.functions = functions;
    this.arrays = arrays;
    this.tables = tables;
  }

  /**
   * The number of a function that does all stages for `count` cycles, as many as arrays hold at most: where it `moves`, of
   * one group, and its last stage follows cycle upon cycle; else of what several groups share.
   */
  sequence(stages: Stages, moves: boolean): number {
    const code = new Code(parameterCount);
    const last = stages.stages.length - 1;
    for (const [s, { parts, regions }] of stages.stages.entries()) {
      const follows = moves && s === last;
      const numbers =
        follows && parts.length > 1
          ? [this.following(parts.map((part) => this.part(stages, part, "one cycle", moves)))]
          : parts.map((part) => this.part(stages, part, follows ? "cycle upon cycle" : "all cycles", moves));
      for (const number of numbers) {
        for (let i = 0; i < parameterCount; i++) code.get(i);
        code.call(number);
      }
      for (const region of regions) this.apply(code, region);
    }
    return this.functions.add(parameterCount, code);
  }

  /** Calls the function of an array. */
  private apply(code: Code, { deep, beside, work, further, slots, address }: Region): void {
    if (deep === null) return;
    code.i32(address);
    code
      .get(count)
      .i32(16 * slots)
      .integer("multiply")
      .i32(address)
      .integer("add");
    if (beside !== null) code.i32(beside.address);
    if (work !== null) code.i32(work.address);
    const { name } = deep;
    if (name === "power within range") {
      this.logarithm(code, deep);
      for (const other of further) this.logarithm(code.i32(other.address), other.deep!);
      code.call(this.arrays.number(`powers ${1 + further.length}`));
    } else if (name.startsWith("table ")) code.call(this.tables.number(Number(name.slice(6))));
    else code.call(this.arrays.number(name as Parameters<ArrayFunctions["number"]>[0]));
  }

  /** Pushes the address of the split logarithm of a power's base. */
  private logarithm(code: Code, deep: Deep): void {
    const { lens, frame: places, frameAt } = this.ground;
    const base = lens.sight.source(deep.base!);
    if (base.region === "constant" || base.region === "row") code.i32(frameAt + places.rows.logarithm(base));
    else code.get(frame).i32(places.groupRows.logarithm(base)).integer("add");
  }

  /** A function with the loop over cycles of a part; or, of a part of a longer body, for one cycle by its number. */
  private part(
    stages: Stages,
    part: Part,
    over: "all cycles" | "cycle upon cycle" | "one cycle",
    moves: boolean,
  ): number {
    const code = new Code(parameterCount);
    const inner = code.fork();
    const pointers = new Pointers(code, this.ground);
    const note = emitBody(inner, this.ground, pointers, stages, part);
    const { open, close } = pointers;
    for (const [region, local] of pointers.regions) {
      code.i32(region.address);
      if (over === "one cycle")
        code
          .get(count)
          .i32(16 * region.slots)
          .integer("multiply")
          .integer("add");
      code.set(local);
    }
    if (over !== "all cycles") code.get(frame).loadInteger(0).set(open).get(frame).loadInteger(4).set(close);
    if (over === "one cycle") code.append(inner);
    else {
      code.loop(() => {
        code.append(inner);
        pointers.advance(code);
        if (over === "cycle upon cycle") code.get(open).get(close).set(open).set(close);
        code.get(count).i32(1).integer("subtract").tee(count);
      });
      if (over === "cycle upon cycle") code.get(frame).get(open).storeInteger(0).get(frame).get(close).storeInteger(4);
    }
    if (note !== undefined) this.leaveNote(code, note, moves);
    return this.functions.add(parameterCount, code);
  }

  /** Adds the failed checks of a body to the note of the group, or to that of all groups. */
  private leaveNote(code: Code, note: number, moves: boolean): void {
    const at = moves ? this.ground.frame.note : this.ground.frameAt;
    const base = (): Code => (moves ? code.get(frame) : code.i32(0));
    base();
    base().load(at).get(note).lanes("or").store(at);
  }

  /** A function that calls the parts of a long body for one cycle after the other. */
  private following(parts: readonly number[]): number {
    const code = new Code(parameterCount);
    const [number, open] = [code.local("i32"), code.local("i32")];
    const { counts } = this.ground.workspace;
    code.loop(() => {
      for (const part of parts) {
        code.get(number);
        for (let i = 1; i < parameterCount; i++) code.get(i);
        code.call(part);
      }
      code.get(frame).loadInteger(0).set(open);
      code.get(frame).get(frame).loadInteger(4).storeInteger(0);
      code.get(frame).get(open).storeInteger(4);
      for (const [local, step] of [
        [cycle, 16 * counts.cycle],
        [groupCycle, 8 * counts.groupCycle],
        [number, 1],
      ] as const)
        code.get(local).i32(step).integer("add").set(local);
      code.get(number).get(count).integer("lessUnsigned");
    });
    return this.functions.add(parameterCount, code);
  }
}
