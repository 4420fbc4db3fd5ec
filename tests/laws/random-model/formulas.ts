import type { Draft } from "./draft.ts";
import { partsOfOne } from "./evidence.ts";
import { penFor } from "./expressions.ts";
import { formulaYields } from "./pen.ts";

/** A random formula, which may use those before it; some with alternatives and their weights. */
export function newFormula(draft: Draft): void {
  const { dice } = draft;
  const name = draft.name("formula");
  const yields = dice.one(formulaYields);
  const ofPerson = dice.chance(60);
  const pen = penFor(draft, draft.everyone(ofPerson));
  if (yields !== "condition" && dice.chance(20)) {
    const variants = dice.one([
      ["plateau", "Decline"],
      ["plateau", "Decline", "wave"],
    ]);
    const weights = partsOfOne(draft, variants.length);
    draft.formulaTexts[name] = {
      alternatives: Object.fromEntries(variants.map((variant) => [variant, pen.write(yields)])),
      ...(dice.chance(50) ? { label: `What ${name} looks like` } : {}),
    };
    draft.alternatives[name] = {
      ...Object.fromEntries(variants.map((variant, i) => [variant, weights[i]!])),
      ...(dice.chance(50) ? { why: "nobody knows", source: "invented" } : {}),
    };
  } else draft.formulaTexts[name] = pen.write(yields, 4);
  const text = JSON.stringify(draft.formulaTexts[name]);
  const inner = draft.formulas.filter((formula) => new RegExp(`\\b${formula.name}\\b`).test(text));
  const ofCycle = /\bcycle\b/.test(text) || inner.some((formula) => formula.ofCycle);
  draft.formulas.push({ name, yields, ofPerson, ofCycle });
}
