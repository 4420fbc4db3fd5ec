import { useMemo, useState } from "preact/hooks";
import { capitalised } from "../../src/report/format.ts";
import {
  type FactorMembership,
  membershipByFactor,
  membershipTable,
  type NamedStrategy,
} from "../../src/report/time-tables.ts";
import type { CurveSeries } from "../../src/report/works.ts";
import { membership, membershipText, toneOf } from "../charts/membership.ts";
import { Plot } from "../charts/plot.tsx";
import type { Palette } from "../palette.ts";
import { palette } from "../theme.ts";
import { Choice } from "./choice.tsx";
import { DataTable } from "./data-table.tsx";
import { Fold } from "./fold.tsx";
import { Picture } from "./picture.tsx";

/** Where people are over time, pathway by pathway, by the levels of one factor. */
export function MembershipPicture({
  series,
  strategies,
}: {
  readonly series: readonly CurveSeries[];
  readonly strategies: readonly NamedStrategy[];
}) {
  const factors = useMemo(() => membershipByFactor(series), [series]);
  const [name, setName] = useState("");
  const factor = factors.find((one) => one.factor === name) ?? factors[0];
  if (factor === undefined) return null;
  return (
    <>
      <Picture
        title="Where are people over time?"
        choices={
          factors.length > 1 ? (
            <Choice
              label="By"
              options={factors.map((one) => ({ id: one.factor, label: capitalised(one.label) }))}
              chosen={factor.factor}
              onChoose={setName}
            />
          ) : null
        }
      >
        <LevelKey factor={factor} />
        <div class="panels">
          {strategies.map((strategy) => (
            <Panel key={strategy.id} factor={factor} strategy={strategy} />
          ))}
        </div>
      </Picture>
      <Fold title="These shares as a table">
        <DataTable
          title={`Share of those who started, by ${factor.label}`}
          table={membershipTable(factor, strategies)}
        />
      </Fold>
    </>
  );
}

function LevelKey({ factor }: { readonly factor: FactorMembership }) {
  const { levels } = factor;
  return (
    <ul class="strategy-key level-key">
      {levels.map(({ id, level }, place) => (
        <li key={id}>
          <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
            <rect width="16" height="16" fill={toneOf(palette.value, place, levels.length)} />
          </svg>
          {capitalised(level)}
        </li>
      ))}
    </ul>
  );
}

function Panel({ factor, strategy }: { readonly factor: FactorMembership; readonly strategy: NamedStrategy }) {
  const draw = useMemo(
    () => (colours: Palette) => membership({ factor, strategy: strategy.id }, colours),
    [factor, strategy.id],
  );
  return (
    <div class="panel">
      <p class="panel-title">{strategy.label}</p>
      <Plot shape="small" alternative={membershipText({ factor, strategy: strategy.id }, strategy.label)} draw={draw} />
    </div>
  );
}
