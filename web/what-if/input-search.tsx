import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { RegisterInput } from "../../src/report/register.ts";
import { pin, pins } from "../pins.ts";

const shownAtMost = 12;

/** Finds any input by its words or its name and pins it. */
export function InputSearch({ inputs }: { readonly inputs: readonly RegisterInput[] }) {
  const id = useId();
  const [text, setText] = useState("");
  const words = text.toLowerCase().split(/\s+/).filter(Boolean);
  const free = inputs.filter(({ name }) => !pins.value.includes(name));
  const found = free.filter(({ name, label }) => {
    const said = `${label} ${name}`.toLowerCase();
    return words.every((word) => said.includes(word));
  });
  const shown = words.length === 0 ? [] : found.slice(0, shownAtMost);
  const end = useRef<HTMLParagraphElement>(null);
  useEffect(() => {
    if (text !== "") end.current?.scrollIntoView({ block: "nearest" });
  }, [text]);
  return (
    <div class="input-search">
      <label for={id}>Find one of {inputs.length} inputs</label>
      <input
        id={id}
        type="search"
        autocomplete="off"
        value={text}
        placeholder="price, diabetes, days off"
        onInput={(event) => setText(event.currentTarget.value)}
      />
      <ul class="found">
        {shown.map(({ name, label }) => (
          <li key={name}>
            <button
              type="button"
              class="quiet"
              onClick={() => {
                pin(name);
                setText("");
                requestAnimationFrame(() => document.querySelector<HTMLElement>(`#input-${name} input`)?.focus());
              }}
            >
              <span class="unseen">Pin </span>
              {label}
            </button>
          </li>
        ))}
      </ul>
      <p class="side-note" role="status" ref={end}>
        {words.length === 0 ? "" : foundText(found.length)}
      </p>
    </div>
  );
}

function foundText(count: number): string {
  if (count === 0) return "No other input has these words";
  return count > shownAtMost ? `${count} found, the first ${shownAtMost} shown` : `${count} found`;
}
