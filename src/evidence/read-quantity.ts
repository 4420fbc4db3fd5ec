import type { Findings, Place } from "../errors.ts";
import { combined, type Dimension, dimensionText, isNone, piece, sameDimension } from "../schema/dimension.ts";
import { inBase, readQuantity, readUnit } from "../schema/quantity.ts";
import type { Unit } from "../schema/unit.ts";

/** What a number of the scenario must be: its dimension, the case's currency and cycle, the unit of bare numbers. */
export interface Expected {
  readonly dimension: Dimension;
  readonly currency: string;
  readonly cycleYears: number;
  /** Unit of numbers written without one (`in:`); absent: they must be bare or carry their own. */
  readonly bare?: Unit;
}

/**
 * A quantity of the scenario in base units, or undefined with a finding.
 * Adds quantity-syntax, unknown-unit, unit-mismatch, currency-differs.
 */
export function quantityIn(
  given: string | number,
  expected: Expected,
  place: Place,
  findings: Findings,
): number | undefined {
  const quantity = readQuantity(given, expected.cycleYears);
  if ("problem" in quantity) {
    if (quantity.problem === "unit") findings.add(place, "unknown-unit", quantity.unit, quantity.near);
    else findings.add(place, "quantity-syntax", quantity.text);
    return undefined;
  }
  if (quantity.currency !== undefined && quantity.currency !== expected.currency) {
    findings.add(place, "currency-differs", quantity.currency, expected.currency);
    return undefined;
  }
  if (isNone(quantity.dimension) && expected.bare !== undefined) return inBase(quantity.value, expected.bare);
  if (fits(quantity.dimension, expected.dimension) || (quantity.value === 0 && isNone(quantity.dimension)))
    return quantity.value;
  findings.add(
    place,
    "unit-mismatch",
    isNone(quantity.dimension) ? `${given} without a unit` : String(given),
    dimensionText(expected.dimension),
  );
  return undefined;
}

/** The unit of an evidence entry's bare numbers. Adds quantity-syntax, unknown-unit, unit-mismatch, currency-differs. */
export function bareUnit(text: string, expected: Expected, place: Place, findings: Findings): Unit | undefined {
  const unit = readUnit(text, expected.cycleYears);
  if ("problem" in unit) {
    if (unit.problem === "unit") findings.add(place, "unknown-unit", unit.unit, unit.near);
    else findings.add(place, "quantity-syntax", text);
    return undefined;
  }
  if (unit.currency !== undefined && unit.currency !== expected.currency) {
    findings.add(place, "currency-differs", unit.currency, expected.currency);
    return undefined;
  }
  if (!fits(unit.dimension, expected.dimension)) {
    findings.add(place, "unit-mismatch", text, dimensionText(expected.dimension));
    return undefined;
  }
  return unit;
}

/** Dimensions agree; `per piece` may be left out, and a utility may be written as a bare number (see `utilityUnit`). */
function fits(found: Dimension, expected: Dimension): boolean {
  if (sameDimension(found, expected)) return true;
  return expected[5] !== 0 && sameDimension(combined(found, piece, expected[5]), expected);
}
