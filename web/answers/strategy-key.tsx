import type { NamedStrategy } from "../../src/report/time-tables.ts";
import { StrategyMark } from "./strategy-mark.tsx";

/** Which line, marker and colour stands for which strategy. */
export function StrategyKey({
  strategies,
  only,
  where = "always",
}: {
  readonly strategies: readonly NamedStrategy[];
  /** The strategies to name; all unless given. Order and colour are always the scenario's. */
  readonly only?: readonly string[];
  /** `narrow`: only where the picture has no room for names beside its lines. */
  readonly where?: "always" | "narrow";
}) {
  return (
    <ul class={where === "narrow" ? "strategy-key narrow-key" : "strategy-key"}>
      {strategies.map(({ id, label }, order) =>
        only === undefined || only.includes(id) ? (
          <li key={id}>
            <StrategyMark order={order} />
            {label}
          </li>
        ) : null,
      )}
    </ul>
  );
}
