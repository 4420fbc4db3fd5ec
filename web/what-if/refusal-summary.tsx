import type { Finding } from "../../src/errors.ts";
import type { RegisterInput } from "../../src/report/register.ts";
import { pin, pins } from "../pins.ts";
import { runState } from "../workbench.ts";

/** All that the last run found wrong, with a way to each place. */
export function RefusalSummary({
  findings,
  inputs,
}: {
  readonly findings: readonly Finding[];
  readonly inputs: readonly RegisterInput[];
}) {
  const state = runState.value;
  if (state.is !== "refused") return null;
  return (
    <div class="refusal-summary" role="alert">
      <p class="refusal-title">{findings.length === 0 ? state.message : "Not run. What is wrong:"}</p>
      <ul>
        {findings.map((found) => {
          const name = found.path.split(/[.[]/)[1] ?? "";
          const input = inputs.find((one) => one.name === name);
          return (
            <li key={`${found.path} ${found.message}`}>
              {input === undefined ? null : (
                <button type="button" class="quiet" onClick={() => show(name)}>
                  {input.label}
                </button>
              )}{" "}
              {found.message}; {found.hint}
            </li>
          );
        })}
      </ul>
    </div>
  );
}

function show(name: string): void {
  if (!pins.value.includes(name)) pin(name);
  requestAnimationFrame(() => {
    const editor = document.querySelector(`#input-${name}`);
    const field =
      editor?.querySelector<HTMLElement>("[aria-invalid=true]") ?? editor?.querySelector<HTMLElement>("input");
    field?.focus();
  });
}
