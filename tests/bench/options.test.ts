import { describe, expect, test } from "vitest";
import { parseOptions, UsageError } from "./options.ts";

describe("options of the bench", () => {
  test("none: the whole bench in 7 rounds", () => {
    expect(parseOptions([])).toEqual({ quick: false, json: false, readme: false, million: false, rounds: 7 });
  });

  test("quick takes 3 rounds unless told otherwise", () => {
    expect(parseOptions(["--quick", "--json"])).toMatchObject({ quick: true, json: true, rounds: 3 });
    expect(parseOptions(["--rounds", "2", "--quick"]).rounds).toBe(2);
  });

  test.each([
    [["--fast"], "unknown option --fast"],
    [["quick"], "unknown option quick"],
    [["--rounds"], "--rounds: nothing is not a whole number"],
    [["--rounds", "0"], "--rounds: 0 is not a whole number"],
    [["--rounds", "1.5"], "--rounds: 1.5 is not a whole number"],
    [["--rounds", "--json"], "--rounds: --json is not a whole number"],
    [["--quick", "--readme"], "--readme takes the whole bench"],
  ])("%j is refused in one line", (args, message) => {
    const refused = (): unknown => parseOptions(args);
    expect(refused).toThrow(UsageError);
    expect(refused).toThrow(message);
    expect(refused).not.toThrow("\n");
  });
});
