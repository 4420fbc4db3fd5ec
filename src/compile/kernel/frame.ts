import type { Source } from "./lens.ts";

/** The workspace of the lanes in the kernel's memory: doubles from an address on, regions by their first double. */
export interface Workspace {
  readonly lanes: number;
  readonly groups: number;
  readonly cycles: number;
  /** First double of each region. Regions of lanes begin at even ones. */
  readonly at: Readonly<Record<"cycle" | "group" | "groupCycle" | "row" | "groupRow" | "banks", number>>;
  /** Numbers per cycle, per group, per group and cycle; rows per group, rows per bank. */
  readonly counts: Readonly<Record<"cycle" | "group" | "groupCycle" | "groupRow" | "bank", number>>;
  /** Number of doubles. */
  readonly length: number;
}

const pair = 16;

/**
 * Where one pair of lanes keeps its values while it runs through the cycles, side by side so that they stay in the
 * nearest cache. What is the same for all groups: a note of failed checks, then copies of what the lanes' regions hold
 * for the pair, and of constants. For each group: the addresses of the opening and the closing bank, a note, both banks
 * of membership, the sums of the tallies, then copies, and the numbers of the group. Offsets are in bytes; copies are given places as they are asked for.
 */
export class Frame {
  readonly rows: Slots;
  readonly groupRows: Slots;
  /** Offset of the note in the part of a group. */
  readonly note = pair;
  private readonly bankRows: number;

  /** `bankRows` counts states and sums of sets. */
  constructor(bankRows: number, tallies: number) {
    this.bankRows = bankRows;
    this.rows = new Slots(pair);
    this.groupRows = new Slots(this.tally(tallies));
  }

  /** Offset of a bank in the part of a group. */
  bank(which: 0 | 1): number {
    return (2 + which * this.bankRows) * pair;
  }

  /** Offset of the sum of a tally in the part of a group. */
  tally(number: number): number {
    return (2 + 2 * this.bankRows + number) * pair;
  }
}

/** Places for values, given out in order; each begins at a multiple of 16. */
export class Slots {
  /** Rows of a region of lanes with the place each is copied to. */
  readonly copies = new Map<number, number>();
  /** Numbers that serve both lanes, by their position, with the place each is copied to, twice. */
  readonly singles = new Map<number, number>();
  /** Rows of conditions with the place of what all bits tell of them: set where they hold. */
  readonly truths = new Map<number, number>();
  /** Bases of powers with the place of their split logarithm. */
  readonly logarithms = new Map<string, { readonly base: Source; readonly at: number }>();
  bytes: number;

  constructor(first: number) {
    this.bytes = first;
  }

  /** The place of a row. */
  row(position: number): number {
    return this.place(this.copies, position);
  }

  /** The place of a number that serves both lanes. */
  single(position: number): number {
    return this.place(this.singles, position);
  }

  /** The place of the truth of a row. */
  truth(position: number): number {
    return this.place(this.truths, position);
  }

  private place(places: Map<number, number>, position: number): number {
    const known = places.get(position);
    if (known !== undefined) return known;
    const at = this.bytes;
    this.bytes += pair;
    places.set(position, at);
    return at;
  }

  /** The place of a base's split logarithm. */
  logarithm(base: Source): number {
    const key = `${base.region} ${base.position}`;
    const known = this.logarithms.get(key);
    if (known !== undefined) return known.at;
    const at = this.bytes;
    this.bytes += 2 * pair;
    this.logarithms.set(key, { base, at });
    return at;
  }
}
