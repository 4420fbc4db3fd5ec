import type { Draft, FactorPlan, LevelPlan, Section, Tree } from "./draft.ts";
import { partsOfOne } from "./evidence.ts";
import { readInput, shareVector, structuralSpan } from "./inputs.ts";
import { share } from "./quantities.ts";

/** Longest time in cycles that a level lasts or a clock runs. */
const longest = 4;
/** Joint states a case may have at most; keeps runs short. */
const stateLimit = 60;

/** The factors of a case as the model file holds them: 1 to 3, of 2 to 4 levels, some with clocks. */
export function randomFactors(draft: Draft): Section {
  const { dice } = draft;
  const names = dice.some(["stage", "course", "device_state"], 1, 3);
  const factors: FactorPlan[] = [];
  const section: Section = {};
  let states = 1;
  for (const [f, name] of names.entries()) {
    // room for two plain levels of each factor still to come
    const room = Math.floor(stateLimit / states / 2 ** (names.length - 1 - f));
    const words = wordsOf(name).slice(0, dice.whole(2, Math.min(4, Math.max(2, room))));
    let size = words.length;
    const written: Tree[] = [];
    const levels = words.map((word): LevelPlan => {
      const kind = size + longest <= room ? dice.one(["none", "lasts", "stops"] as const) : "none";
      if (kind === "none") {
        written.push(dice.chance(20) ? { [word]: { label: `At ${word}` } } : word);
        return { name: word, clock: kind, reach: 0 };
      }
      size += longest;
      if (kind === "stops") {
        const cap = dice.whole(1, longest);
        const label = dice.chance(20) ? { label: `At ${word}` } : {};
        written.push({ [word]: { clock: dice.one<Tree>([cap, draft.span(cap)]), ...label } });
        return { name: word, clock: kind, reach: cap };
      }
      // biome-ignore lint/suspicious/noThenProperty: the word of the language
      written.push({ [word]: { lasts: structuralSpan(draft, 1, longest), then: dice.one(words) } });
      return { name: word, clock: kind, reach: longest };
    });
    states *= size;
    factors.push({ name, levels });
    section[name] = written;
  }
  draft.factors = factors;
  return section;
}

const wordsOf = (factor: string): readonly string[] =>
  ({
    stage: ["A", "B", "C", "D"],
    course: ["waiting", "in_place", "stopped", "completed"],
    device_state: ["no", "yes", "worn", "lost"],
  })[factor] ?? [];

/** Where people start: a level of each factor, or shares of levels. */
export function randomStart(draft: Draft): Section {
  const { dice } = draft;
  const start: Section = {};
  for (const { name, levels } of draft.factors) {
    const words = levels.map((level) => level.name);
    const some = dice.some(words, 2, 3);
    const parts = partsOfOne(draft, some.length);
    start[name] = dice.way<Tree>(
      () => dice.one(words),
      () => dice.one(words),
      () => Object.fromEntries(some.map((word, i) => [word, parts[i]!])),
      () => ({ [some[0]!]: readInput(draft, share, draft.everyone(false)), [some[1]!]: "rest" }),
      () => {
        const cells = some.map((_, i) => `start_${i + 1}`);
        const vector = shareVector(draft, cells);
        return Object.fromEntries(some.map((word, i) => [word, `${vector}.${cells[i]}`]));
      },
    );
  }
  return start;
}
