import { hull, none, type Range, rangeOf } from "../compile/kernel/ranges.ts";
import type { Foreseen } from "../engine/ready-runners.ts";
import { type OutcomesRoom, outcomesRoom, type Prepared, rowBlocks } from "../engine/rows.ts";
import { type SampleRoom, type Sampler, sampleRoom, sampleRows } from "../engine/sample.ts";
import { InputError } from "../errors.ts";
import type { Design } from "../numerics/designs/design.ts";
import { plain } from "../numerics/designs/plain.ts";
import { quasi } from "../numerics/designs/quasi.ts";
import { stratified } from "../numerics/designs/stratified.ts";
import type { DrawBoard } from "./draw-board.ts";
import type { DrawOutcomes } from "./draw-outcomes.ts";
import { DrawTally, type KeptDraws } from "./draw-tally.ts";

/** How uniforms are laid out over draws. */
export type DesignName = Design["name"];

/** What to draw. */
export interface DrawPlan {
  readonly draws: number;
  readonly seed: string;
  readonly design: DesignName;
}

/** What each thread of a run has: the case made ready, what to draw, and the board all meet at. */
export interface DrawWork {
  readonly sampler: Sampler;
  readonly prepared: Prepared;
  readonly plan: DrawPlan;
  readonly board: DrawBoard;
  /** Rows evaluated together; no number depends on it. */
  readonly blockRows?: number;
}

/** Memory of a thread for a block, which one block after another uses. */
interface BlockRoom {
  readonly draws: number;
  readonly sample: SampleRoom;
  readonly outcomes: OutcomesRoom;
}

/** The outcomes of draws, with rows and totals where the board keeps them. */
export interface DrawRun {
  readonly outcomes: DrawOutcomes;
  readonly kept: KeptDraws | null;
}

/** The design of a plan. Stratified and quasi designs need at least 16 draws. */
export function designOf({ design, seed, draws }: DrawPlan): Design {
  if (design === "plain") return plain(seed, draws);
  return design === "quasi" ? quasi(seed, draws) : stratified(seed, draws);
}

/**
 * The lead's part of a run: does blocks itself, and sums up those that are done in the order of the draws. Yields the
 * number of draws done by all threads after each step; whoever drives it stops by dropping it, and is to do so when the
 * board is cancelled. Throws what is wrong with the first bad draw, whichever thread came upon it.
 */
export function* leadDraws(work: DrawWork): Generator<number, DrawRun> {
  const { prepared, plan, board } = work;
  const design = designOf(plan);
  const tally = new DrawTally(prepared.program, board);
  const room = blockRoom(work);
  let mine = board.take();
  let read = 0;
  while (read < board.blocks) {
    const heard = board.bell;
    const state = board.state(read);
    if (state === "failed") {
      // again, so that it throws here
      yield* blockSteps(work, design, read, room);
      throw new Error(`block ${read} failed elsewhere and is good here`);
    }
    if (state === "good") {
      tally.add(board.places(read));
      read += 1;
      board.release(read);
    } else if (mine >= 0 && board.hasRoom(mine)) {
      yield* ownBlock(work, design, mine, room);
      mine = board.take();
    } else board.sleep(heard);
    yield board.done;
  }
  return tally.outcomes({ seed: plan.seed, design: plan.design, randomisations: design.randomisations });
}

/**
 * The part of any other thread: does blocks until none is left or the run is cancelled, or until `mayStop`, which is
 * asked between blocks. Returns whether blocks are left.
 */
export function helpDraws(work: DrawWork, mayStop: () => boolean): boolean {
  const { board, prepared } = work;
  const design = designOf(work.plan);
  let room = helperRooms.get(prepared);
  if (room === undefined || room.draws < board.shape.blockDraws) room = blockRoom(work);
  helperRooms.set(prepared, room);
  for (let block = board.take(); block >= 0; block = board.take()) {
    for (let heard = board.bell; !board.hasRoom(block) && !board.isCancelled; heard = board.bell) board.sleep(heard);
    for (const _ of ownBlock(work, design, block, room)) if (board.isCancelled) return false;
    if (mayStop()) return !board.isCancelled;
  }
  return false;
}

// a helper is never left in the middle of a block, so one room serves all its work for a case
const helperRooms = new WeakMap<Prepared, BlockRoom>();

function blockRoom({ sampler, prepared, board }: DrawWork): BlockRoom {
  const draws = board.shape.blockDraws;
  return { draws, sample: sampleRoom(sampler, draws), outcomes: outcomesRoom(prepared, draws, true) };
}

/** A block that this thread has taken, published whether it is good or not. */
function* ownBlock(work: DrawWork, design: Design, block: number, room: BlockRoom): Generator<number, void> {
  const { board } = work;
  let isGood = true;
  try {
    yield* blockSteps(work, design, block, room);
  } catch (error) {
    // the lead finds the mistake again when the block's turn has come; others it finds out here
    if (!(error instanceof InputError)) throw error;
    isGood = false;
  }
  board.publish(block, isGood);
}

const mostForeseen = 65_536;
/** Sampling a component takes as long as so many joint states take a cycle, for thirty times as many draws. */
const cellsPerComponent = 1250;

/** Samples draws of the run ahead, where that is little beside the run, to see where their values lie. */
function foreseenDraws({ sampler, prepared, board, plan: { draws } }: DrawWork, design: Design): Foreseen {
  const { program, expansion } = prepared;
  const { components, grid, groups, analysis } = program;
  const cells = expansion.states.length * grid.cycles * groups.length * analysis.compare.length;
  const little = Math.ceil((draws * cells) / (cellsPerComponent * components.length));
  const count = Math.min(draws, mostForeseen, little);
  let ranges: readonly Range[] = components.map(() => none);
  // as many at a time as suit the design; the block's own memory is taken
  const { blockDraws } = board.shape;
  const room = sampleRoom(sampler, Math.min(count, blockDraws));
  for (let from = 0; from < count; from += blockDraws) {
    const rows = sampledIfGood(sampler, design, from, Math.min(count, from + blockDraws), room);
    // a draw that cannot be is told of when its turn has come
    if (rows === null) return { ranges, isAll: false };
    ranges = ranges.map((range, i) => hull(range, rangeOf(rows, i, components.length)));
  }
  return { ranges, isAll: count === draws };
}

function sampledIfGood(
  sampler: Sampler,
  design: Design,
  from: number,
  to: number,
  room: SampleRoom,
): Float64Array | null {
  try {
    return sampleRows(sampler, design, from, to, room);
  } catch (error) {
    if (error instanceof InputError) return null;
    throw error;
  }
}

/** Samples and evaluates a block into its places; throws what is wrong with its first bad draw. */
function* blockSteps(work: DrawWork, design: Design, block: number, room: BlockRoom): Generator<number, void> {
  const { sampler, prepared, board, blockRows } = work;
  const { program } = prepared;
  const { analysis, accounts } = program;
  const [S, A, G] = [analysis.compare.length, accounts.length, program.groups.length];
  const places = board.places(block);
  const { from, count } = places;
  const sampled = sampleRows(sampler, design, from, from + count, room.sample);
  yield board.done;
  const steps = rowBlocks(prepared, sampled, {
    byGroup: true,
    firstDraw: from,
    rowsInAll: board.shape.draws,
    room: room.outcomes,
    foreseen: () => foreseenDraws(work, design),
    ...(blockRows === undefined ? {} : { blockRows }),
  });
  let counted = 0;
  let step = steps.next();
  while (!step.done) {
    board.count(step.value - counted);
    counted = step.value;
    yield board.done;
    step = steps.next();
  }
  const { totals, lifeYears, byGroup } = step.value;
  places.totals.set(totals);
  places.lifeYears.set(lifeYears);
  if (board.shape.kept > 0) places.rows.set(sampled);
  for (const [g, strategies] of places.groups.entries())
    for (const [s, { cost, effect }] of strategies.entries())
      for (let k = 0; k < count; k++) {
        const at = ((k * S + s) * G + g) * A;
        cost[k] = byGroup![at + analysis.cost]!;
        effect[k] = byGroup![at + analysis.effect]!;
      }
}
