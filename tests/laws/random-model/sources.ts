import type { Draft, Tree } from "./draft.ts";

/** A random source: invented, a citation, a guess, or that of another input. */
export function randomSource(draft: Draft): Tree {
  const { dice, inputs } = draft;
  return dice.way<Tree>(
    () => "invented",
    () => ({ cite: "an invented paper", year: 2020, page: dice.one<Tree>([dice.whole(1, 400), "12-15"]) }),
    () => ({ note: "the author's guess" }),
    () => (inputs.length === 0 ? "invented" : { same_as: dice.one(inputs).name }),
  );
}
