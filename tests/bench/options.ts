/** What a bench should do. */
export interface BenchOptions {
  /** Plain C and Steelyard only, fewer rounds. */
  readonly quick: boolean;
  /** One line of JSON in place of the tables. */
  readonly json: boolean;
  /** Puts the tables into README.md. */
  readonly readme: boolean;
  /** Also the demo with a million draws, and the memory it takes. */
  readonly million: boolean;
  /** Counted rounds of what is fast; slow peers take part in at most 3. */
  readonly rounds: number;
}

/** A mistake in the options; its message is one line. */
export class UsageError extends Error {}

/** One line on how to call the bench. */
export const usage = "npm run bench -- [--quick] [--json] [--readme] [--million] [--rounds N]";

const flags = ["quick", "json", "readme", "million"] as const;

/** Reads options; rounds are 7 unless given, 3 where quick. Throws UsageError. */
export function parseOptions(args: readonly string[]): BenchOptions {
  const given = { quick: false, json: false, readme: false, million: false };
  let rounds: number | undefined;
  for (let i = 0; i < args.length; i++) {
    const option = args[i]!;
    const flag = flags.find((name) => option === `--${name}`);
    if (flag !== undefined) given[flag] = true;
    else if (option === "--rounds") {
      const value = args[++i];
      if (value === undefined || !/^[1-9]\d?$/.test(value))
        throw new UsageError(`--rounds: ${value ?? "nothing"} is not a whole number from 1 to 99`);
      rounds = Number(value);
    } else throw new UsageError(`unknown option ${option}; ${usage}`);
  }
  if (given.quick && given.readme) throw new UsageError("--readme takes the whole bench, without --quick");
  return { ...given, rounds: rounds ?? (given.quick ? 3 : 7) };
}
