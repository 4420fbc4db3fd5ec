import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { isValid, laws } from "./laws.ts";
import { opened } from "./opened.ts";
import { constructs } from "./random-model/constructs.ts";
import { anyCase, type RandomCase } from "./random-model.ts";

const runs = { seed: 20260214, numRuns: 500 };

/** The first case that breaks a law: its number and what it says. */
const broken = new Map<string, { readonly number: number; readonly error: unknown }>();
const used = new Set<string>();

// each case is opened once for all laws and then let go: kept together they would not fit in memory
beforeAll(() => {
  for (const [number, one] of fc.sample(anyCase, runs).entries()) {
    for (const construct of one.constructs) used.add(construct);
    const ready = attempt(isValid, number, () => opened(one));
    if (ready === undefined) continue;
    for (const [name, law] of Object.entries(laws)) if (!broken.has(name)) attempt(name, number, () => law(ready));
  }
}, 300_000);

function attempt<T>(name: string, number: number, what: () => T): T | undefined {
  try {
    return what();
  } catch (error) {
    if (!broken.has(name)) broken.set(name, { number, error });
    return undefined;
  }
}

describe(`of ${runs.numRuns} random cases`, () => {
  test.each(Object.entries(laws))("%s", (name, law) => {
    const found = broken.get(name);
    if (found === undefined) return;
    // the same case again, made smaller as long as the law stays broken
    const path = String(found.number);
    const holds = (one: RandomCase): void => law(opened(one));
    fc.assert(fc.property(anyCase, holds), { ...runs, path, numRuns: 1, interruptAfterTimeLimit: 60_000 });
    throw found.error;
  });

  test("every construct of the language is used by some", () => {
    expect(constructs.filter((construct) => !used.has(construct))).toEqual([]);
  });
});
