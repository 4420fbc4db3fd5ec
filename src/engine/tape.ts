/**
 * A straight list of operations on rows of lanes, five numbers each: the operation, where the result goes, up to three
 * operands. An operand is a place: its region in the low three bits, its position in the region above.
 */
export type Tape = Int32Array;

/** Numbers per operation on a tape. */
export const stride = 5;

/**
 * Regions of the workspace. The first four hold single numbers, which serve all lanes: those that never change, and the
 * ones of this cycle, this group, this cycle and group. The others hold a number per lane: of the row of inputs or in
 * passing; of this group; opening and closing membership of this group.
 */
export const regions = {
  constant: 0,
  cycle: 1,
  group: 2,
  groupCycle: 3,
  row: 4,
  groupRow: 5,
  opening: 6,
  closing: 7,
} as const;

/** The name of a region. */
export type Region = keyof typeof regions;

/** Writes a tape of operations, which are numbered as they stand in `names`. */
export class TapeWriter {
  private readonly names: readonly string[];
  private readonly list: number[] = [];

  constructor(names: readonly string[]) {
    this.names = names;
  }

  /** Appends an operation; operands it does not have are left out. */
  write(operation: string, result: number, a: number, b = 0, c = 0): void {
    const position = this.names.indexOf(operation);
    if (position < 0) throw new Error(`no operation ${operation}`);
    this.list.push(position, result, a, b, c);
  }

  /** The finished tape. */
  tape(): Tape {
    return Int32Array.from(this.list);
  }
}
