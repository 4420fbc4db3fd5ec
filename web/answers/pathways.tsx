import type { ComparedAnswer } from "../../src/report/compared.ts";
import { StrategyMark } from "./strategy-mark.tsx";

/** The pathways side by side: what happens, step by step. */
export function Pathways({ strategies }: Pick<ComparedAnswer, "strategies">) {
  return (
    <ul class="pathways">
      {strategies.map(({ id, label, steps }, order) => (
        <li key={id} class="pathway">
          <StrategyMark order={order} />
          <h3>{label}</h3>
          <ol>
            {steps.map((step) => (
              <li key={step}>{step}</li>
            ))}
          </ol>
        </li>
      ))}
    </ul>
  );
}
