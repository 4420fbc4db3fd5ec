import type { Findings } from "../errors.ts";
import { none } from "../schema/dimension.ts";
import type { EventForm, Match } from "./program.ts";
import { typeText } from "./type.ts";

/**
 * Crude incidences that apply to the same people are solved for together, so they are refused unless they are reported
 * over the same period. Mistakes go to the findings: units-inconsistent, at the later of two events.
 */
export function checkCrudePeriods(events: readonly EventForm[], findings: Findings): void {
  const crude = events.flatMap((form) => (form.timing.when === "crude" ? [{ form, years: form.timing.years }] : []));
  for (const [i, { form, years }] of crude.entries()) {
    const other = crude.slice(0, i).find((earlier) => {
      const apart = Math.abs(earlier.years - years) > 1e-9 * years;
      return apart && earlier.form.event !== form.event && together(earlier.form, form);
    });
    if (other === undefined) continue;
    const [left, right] = [years, other.years].map((period) =>
      typeText({ kind: "probability", dimension: none, period }),
    );
    findings.add(form.source.place, "units-inconsistent", "crude incidences of one state", left!, right!);
  }
}

/** True where two forms can apply to one person. */
function together(a: EventForm, b: EventForm): boolean {
  return a.strategies.some((yes, s) => yes && b.strategies[s]!) && overlap(a.match, b.match);
}

function overlap(a: Match, b: Match): boolean {
  return a.every((admitted, f) => {
    const other = b[f]!;
    return admitted === null || other === null || admitted.some((yes, level) => yes && other[level]!);
  });
}
