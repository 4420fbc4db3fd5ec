import type { Findings, Place } from "../errors.ts";
import { combined, type Dimension, money, none, perTime, piece, qaly, time } from "../schema/dimension.ts";
import type { InputDeclaration, Kind } from "../schema/model.ts";
import { readQuantity, readUnit } from "../schema/quantity.ts";
import { plain, type Type } from "./type.ts";

/** What a declaration of an input, a table or an attribute says of its values. */
interface Declared {
  readonly is: Kind;
  readonly per?: InputDeclaration["per"];
  readonly of?: InputDeclaration["of"];
  readonly in?: string | undefined;
}

const ratioKinds: ReadonlySet<Kind> = new Set(["hazard_ratio", "relative_risk", "odds_ratio", "ratio"]);

/**
 * The type of a declared value. `cycleYears` gives the length of `cycle`.
 * Adds quantity-syntax, unknown-unit, unit-mismatch, inconsistent-keys, missing-key to the findings.
 */
export function declaredType(declared: Declared, cycleYears: number, place: Place, findings: Findings): Type {
  const { is } = declared;
  const period = declared.per === undefined ? undefined : periodOf(declared.per, cycleYears, place, findings);
  const allowed = (keys: readonly string[]): void => {
    for (const key of ["per", "of", "in"] as const) {
      if (declared[key] !== undefined && !keys.includes(key)) {
        findings.add(place, "inconsistent-keys", [key, `is: ${is}`], `a ${is} has no ${key}`);
      }
    }
  };
  const timed = (what: string): number => {
    if (period === undefined) {
      findings.add(place, "missing-key", "per");
      return 1;
    }
    if (period.dimension.some((exponent, i) => exponent !== time[i])) {
      findings.add(place, "unit-mismatch", String(declared.per), `a period, such as per: year, for a ${what}`);
      return 1;
    }
    return period.size;
  };
  switch (is) {
    case "probability":
      allowed(["per", "of"]);
      if (declared.of !== undefined && declared.per !== undefined) {
        findings.add(place, "inconsistent-keys", ["per", "of"], "a probability is per a period, or of a case");
      }
      return declared.of !== undefined
        ? { kind: is, dimension: none }
        : { kind: is, dimension: none, period: timed(is) };
    case "rate":
      allowed(["per"]);
      timed(is);
      return plain(perTime);
    case "share":
    case "change":
      allowed([]);
      return { kind: is, dimension: none };
    case "cost": {
      allowed(["per", "of"]);
      if ((declared.of === undefined) === (declared.per === undefined)) {
        findings.add(place, "inconsistent-keys", ["per", "of"], "a cost is per a time, or of a case or piece");
        return plain(money);
      }
      if (declared.of !== undefined) return plain(combined(money, piece, -1));
      return plain(combined(money, period?.dimension ?? time, -1));
    }
    case "money":
      allowed([]);
      return plain(money);
    case "utility": {
      allowed(["per"]);
      const yearly = combined(qaly, time, -1);
      return plain(period === undefined ? yearly : combined(yearly, period.dimension, -1));
    }
    case "duration":
      allowed([]);
      return plain(time);
    case "count":
      allowed(["of"]);
      return plain(none);
    case "number": {
      allowed(["in"]);
      const unit = readUnit(declared.in ?? "", cycleYears);
      if ("problem" in unit) {
        if (unit.problem === "unit") findings.add(place, "unknown-unit", unit.unit, unit.near);
        else findings.add(place, "quantity-syntax", String(declared.in));
        return plain(none);
      }
      return plain(unit.dimension);
    }
    case "choice":
      allowed(["of"]);
      return { kind: "literal", dimension: none };
    default: {
      allowed(["per"]);
      return {
        kind: is as "hazard_ratio" | "relative_risk" | "odds_ratio" | "ratio",
        dimension: none,
        ...(period === undefined || !ratioKinds.has(is) ? {} : { per: period }),
      };
    }
  }
}

/** `per: year` or `per: 5 kg/m2`: the size of the period in base units and its dimension. */
export function periodOf(
  per: string | number,
  cycleYears: number,
  place: Place,
  findings: Findings,
): { readonly size: number; readonly dimension: Dimension } | undefined {
  const text = String(per).trim();
  const quantity = readQuantity(/^[\d.+-]/.test(text) ? text : `1 ${text}`, cycleYears);
  if ("problem" in quantity) {
    if (quantity.problem === "unit") findings.add(place, "unknown-unit", quantity.unit, quantity.near);
    else findings.add(place, "quantity-syntax", text);
    return undefined;
  }
  if (!(quantity.value > 0)) {
    findings.add(place, "out-of-range", "a period", text, "more than 0");
    return undefined;
  }
  return { size: quantity.value, dimension: quantity.dimension };
}
