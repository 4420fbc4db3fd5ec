import type { CostPart } from "../../src/report/cost-differences.ts";
import { partTone } from "../charts/stacked-costs.ts";
import { palette } from "../theme.ts";

/** Which tone stands for which part of stacked bars. */
export function PartKey({ parts }: { readonly parts: readonly CostPart[] }) {
  return (
    <ul class="strategy-key">
      {parts.map(({ label }, place) => (
        <li key={label}>
          <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
            <rect width="16" height="16" fill={partTone(palette.value, place, parts.length)} />
          </svg>
          {label}
        </li>
      ))}
    </ul>
  );
}
