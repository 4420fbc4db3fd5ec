import { useId } from "preact/hooks";
import type { PerThousand } from "../../src/report/compared.ts";
import { capitalised, countText } from "../../src/report/format.ts";
import type { NamedStrategy } from "../../src/report/time-tables.ts";
import { strategyStroke } from "../palette.ts";
import { palette } from "../theme.ts";
import { useScrolling } from "./scrolling.ts";

/** Use of resources by 1,000 people, each figure over a bar that compares the pathways; a picture and its table in one. */
export function UseTable({
  resources,
  strategies,
}: {
  readonly resources: readonly PerThousand[];
  readonly strategies: readonly NamedStrategy[];
}) {
  const id = useId();
  const { frame, scrolls } = useScrolling();
  const used = resources.filter(({ perThousand }) => strategies.some((one) => perThousand[one.id]! > 0));
  if (used.length === 0) return null;
  return (
    <div class="table-frame" ref={frame} {...(scrolls ? { role: "region", "aria-labelledby": id, tabIndex: 0 } : {})}>
      <table class="use-table">
        <caption id={id}>
          <span>What is used for 1,000 people?</span>
        </caption>
        <thead>
          <tr>
            <th scope="col">Resource</th>
            {strategies.map(({ id: strategy, label }) => (
              <th key={strategy} scope="col" class="figures">
                {label}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {used.map((row) => (
            <tr key={row.id}>
              <th scope="row">
                {capitalised(row.label)}
                <span class="use-unit">, {row.unit}</span>
              </th>
              {strategies.map(({ id: strategy }, order) => (
                <td key={strategy} class="figures">
                  {countText(row.perThousand[strategy]!)}
                  <Bar order={order} share={row.perThousand[strategy]! / Math.max(...Object.values(row.perThousand))} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** A bar as long as its share of the longest in the row. */
function Bar({ order, share }: { readonly order: number; readonly share: number }) {
  return (
    <svg class="use-bar" viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">
      <rect x={100 - 100 * share} width={100 * share} height="4" fill={strategyStroke(palette.value, order).colour} />
    </svg>
  );
}
