import type { Traced } from "../../src/engine/traced.ts";
import { demandSameBits } from "./demand.ts";
import type { Opened } from "./opened.ts";

/** A law every case must obey; throws where one does not. */
export type Law = (one: Opened) => void;

/** Calls `check` with the results of every compared strategy in every group. */
export function everywhere({ program, traced }: Opened, check: (found: Traced, where: string) => void): void {
  for (const [k, groups] of traced.entries()) {
    for (const [g, found] of groups.entries()) check(found, `compared strategy ${k}, group ${program.groups[g]!.id}`);
  }
}

/** Everything a run leaves but where people are, which depends on the list of joint states. */
const counted = ["raw", "discounted", "absolute", "events", "resources", "curves", "lifeYears"] as const;

/** Throws unless two runs left the same, bit for bit, but for where people are. */
export function demandSame(found: Traced, expected: Traced, what: string): void {
  for (const key of counted) demandSameBits(found[key], expected[key], `${key}, ${what}`);
}
