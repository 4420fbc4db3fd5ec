import { yearsText } from "../../src/report/format.ts";
import { wide } from "../wide.ts";
import { answered, cases, openCase, opened } from "../workbench.ts";
import { SchemeSwitch } from "./scheme-switch.tsx";

/** Name of the product, scenario on the page, and what must not be overlooked about it. */
export function PageHead() {
  const document = answered.value;
  const money = opened.value?.effective.settings.money;
  return (
    <header class="page-head">
      <p class="brand">Steelyard</p>
      <label class="case-choice">
        <span class="unseen">Scenario</span>
        <select
          value={opened.value?.id ?? ""}
          onChange={(event) => {
            const { value } = event.currentTarget;
            history.replaceState(null, "", `?scenario=${encodeURIComponent(value)}`);
            void openCase(value);
          }}
        >
          {cases.value.map(({ id }) => (
            <option key={id} value={id}>
              {id}
            </option>
          ))}
        </select>
      </label>
      <ul class="marks" aria-label="About this case">
        {document?.meta.invented ? <li class="mark-invented">invented data</li> : null}
        {money === undefined ? null : <li>{`${money.unit} ${money.price_year ?? ""}`.trim()}</li>}
        {document === null ? null : (
          <>
            <li>{document.answers.costs.perspective === "all" ? "all costs" : document.answers.costs.perspective}</li>
            <li>{yearsText(document.answers.compared.horizonYears)}</li>
          </>
        )}
      </ul>
      {wide.value ? <SchemeSwitch /> : null}
    </header>
  );
}
