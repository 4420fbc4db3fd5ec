import { useEffect, useRef } from "preact/hooks";
import type { Finding } from "../../src/errors.ts";
import type { RegisterInput } from "../../src/report/register.ts";
import { pin, pins } from "../pins.ts";
import { failedChecks } from "../refusals.ts";
import { opened, runState, runWithout } from "../workbench.ts";

/** All that the last run found wrong, with a way to each place. */
export function RefusalSummary({
  findings,
  inputs,
}: {
  readonly findings: readonly Finding[];
  readonly inputs: readonly RegisterInput[];
}) {
  const state = runState.value;
  const summary = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (state.is === "refused") summary.current?.focus();
  }, [state]);
  if (state.is !== "refused") return null;
  const checks = failedChecks(findings, Object.keys(opened.value?.effective.expect ?? {}));
  return (
    <div ref={summary} class="refusal-summary" role="alert" tabIndex={-1}>
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
      {checks.length === 0 ? null : (
        <p class="refusal-way">
          {checks.length === 1 ? "This is a check" : "These are checks"} that the scenario's author wrote for the
          author's own values.{" "}
          <button type="button" class="quiet" onClick={() => runWithout(checks)}>
            Run without {checks.length === 1 ? "it" : "them"}
          </button>
        </p>
      )}
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
