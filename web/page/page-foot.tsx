import { inventedCaution } from "../../src/report/cautions.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { wide } from "../wide.ts";
import { SchemeSwitch } from "./scheme-switch.tsx";

/** The foot: cautions again, and what was run. */
export function PageFoot({ document }: { readonly document: ResultDocument | null }) {
  if (document === null) return null;
  const { meta } = document;
  return (
    <footer class="page-foot">
      <p>{meta.cautions[0] ?? inventedCaution}</p>
      <p>
        {meta.scenario}, model {meta.model}, Steelyard {meta.version}. <span class="hash">Hash {meta.hash}</span>
      </p>
      {wide.value ? null : <SchemeSwitch />}
    </footer>
  );
}
