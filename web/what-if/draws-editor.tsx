import type { Finding } from "../../src/errors.ts";
import { countText } from "../../src/report/format.ts";
import { runsWhere } from "../carry-out.ts";
import { designChoices, designOf, drawChoices } from "../draw-settings.ts";
import { localState } from "../local/local.ts";
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

/** How the draws are made, in a line that opens to be changed. */
export function DrawDetails({ id }: { readonly id: string }) {
  const { seed, design } = drawsWanted.value;
  const label = designChoices.find((choice) => choice.id === design)?.label ?? design;
  const isWrong = wrongDraws().length > 0;
  return (
    <details class="draw-details" open={isWrong}>
      <summary>
        {label}, seed {seed}
        {runsWhere.value === "browser" ? ", in this browser" : ""}
      </summary>
      <DrawFields id={id} />
    </details>
  );
}

const wrongDraws = (): readonly Finding[] =>
  refusals.value.filter(({ path }) => path === "runs" || path === "seed" || path === "draws");

/** Chooses from which seed the draws come, how they are laid out and where; says what was refused about them. */
export function DrawFields({ id }: { readonly id: string }) {
  const { seed, design } = drawsWanted.value;
  const wrong = wrongDraws();
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
      {localState.value === "ready" ? (
        <label class="draw-place">
          <span class="field-label">Computed</span>
          <select
            class="draw-setting"
            value={runsWhere.value}
            onChange={(event) => {
              runsWhere.value = event.currentTarget.value === "browser" ? "browser" : "server";
            }}
          >
            <option value="server">by the server</option>
            <option value="browser">in this browser</option>
          </select>
        </label>
      ) : null}
      {wrong.length === 0 ? null : (
        <p id={note} class="refusal">
          {wrong.map(({ message, hint }) => `${message}; ${hint}`).join(". ")}
        </p>
      )}
    </div>
  );
}
