import type { Findings, Place } from "../errors.ts";
import { pow } from "../numerics/pow.ts";
import { combined, type Dimension, dimensionText, isNone, piece, sameDimension } from "../schema/dimension.ts";
import { inBase, readQuantity, readUnit } from "../schema/quantity.ts";
import type { Unit } from "../schema/unit.ts";
import { moneyFactor, type PriceContext } from "./money.ts";

/** What a number of the scenario must be: its dimension, the case's currency and cycle, the unit of bare numbers. */
export interface Expected {
  readonly dimension: Dimension;
  readonly currency: string;
  readonly cycleYears: number;
  /** Unit of numbers written without one (`in:`); absent: they must be bare or carry their own. */
  readonly bare?: Unit;
  /** Of amounts that may be reported in other money; absent: they must be in the case's currency. */
  readonly price?: PriceContext;
}

/**
 * A quantity of the scenario in base units, or undefined with a finding.
 * Adds quantity-syntax, unknown-unit, unit-mismatch, and what `moneyFactor` adds.
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
  if (isNone(quantity.dimension) && expected.bare !== undefined)
    return bareIn(quantity.value, expected.bare, expected, place, findings);
  const factor = moneyFactor(quantity.currency, expected, place, findings);
  if (factor === undefined) return undefined;
  if (fits(quantity.dimension, expected.dimension) || (quantity.value === 0 && isNone(quantity.dimension)))
    return inMoney(quantity.value, factor, expected.dimension);
  findings.add(
    place,
    "unit-mismatch",
    isNone(quantity.dimension) ? `${given} without a unit` : String(given),
    dimensionText(expected.dimension),
  );
  return undefined;
}

/** A bare number of a unit in base units and the scenario's money, or undefined with a finding. */
export function bareIn(
  value: number,
  unit: Unit,
  expected: Expected,
  place: Place,
  findings: Findings,
): number | undefined {
  const factor = moneyFactor(unit.currency, expected, place, findings);
  return factor === undefined ? undefined : inMoney(inBase(value, unit), factor, unit.dimension);
}

function inMoney(value: number, factor: number, [exponent]: Dimension): number {
  if (factor === 1) return value;
  return value * (exponent === 1 ? factor : pow(factor, exponent));
}

/** The unit of an evidence entry's bare numbers. Adds what `quantityIn` adds. */
export function bareUnit(text: string, expected: Expected, place: Place, findings: Findings): Unit | undefined {
  const unit = readUnit(text, expected.cycleYears);
  if ("problem" in unit) {
    if (unit.problem === "unit") findings.add(place, "unknown-unit", unit.unit, unit.near);
    else findings.add(place, "quantity-syntax", text);
    return undefined;
  }
  if (moneyFactor(unit.currency, expected, place, findings) === undefined) return undefined;
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
