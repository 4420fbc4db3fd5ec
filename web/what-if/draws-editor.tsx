import { countText } from "../../src/report/format.ts";
import { designChoices, designOf, drawChoices } from "../draw-settings.ts";
import { chooseDraws, drawsWanted, refusals } from "../workbench.ts";

/** Chooses how many draws the next run makes. */
export function DrawsSelect() {
  const { draws } = drawsWanted.value;
  return (
    <label class="run-draws">
      <span class="unseen">Draws of the next run</span>
      <select value={String(draws)} onChange={(event) => chooseDraws({ draws: Number(event.currentTarget.value) })}>
        {[...new Set([0, ...drawChoices, draws])].map((count) => (
          <option key={count} value={String(count)}>
            {count === 0 ? "no draws" : `${countText(count)} draws`}
          </option>
        ))}
      </select>
    </label>
  );
}

/** Chooses from which seed the draws come, and how they are laid out; says what was refused about them. */
export function SeedAndDesign({ id }: { readonly id: string }) {
  const { seed, design } = drawsWanted.value;
  const wrong = refusals.value.filter(({ path }) => path === "runs" || path === "seed" || path === "draws");
  const note = `${id}-note`;
  return (
    <div class="draw-settings">
      <label>
        <span class="field-label">Seed</span>
        <input
          id={id}
          class="draw-setting"
          type="text"
          autocomplete="off"
          spellcheck={false}
          value={seed}
          aria-invalid={wrong.length > 0}
          aria-describedby={wrong.length > 0 ? note : undefined}
          onInput={(event) => chooseDraws({ seed: event.currentTarget.value })}
        />
      </label>
      <label>
        <span class="field-label">Design</span>
        <select
          class="draw-setting"
          value={design}
          onChange={(event) => chooseDraws({ design: designOf(event.currentTarget.value) })}
        >
          {designChoices.map((choice) => (
            <option key={choice.id} value={choice.id}>
              {choice.label}
            </option>
          ))}
        </select>
      </label>
      {wrong.length === 0 ? null : (
        <p id={note} class="refusal">
          {wrong.map(({ message, hint }) => `${message}; ${hint}`).join(". ")}
        </p>
      )}
    </div>
  );
}
