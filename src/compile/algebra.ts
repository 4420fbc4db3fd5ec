import { inputError, type Place } from "../errors.ts";
import { combined, isNone, none, raised, sameDimension } from "../schema/dimension.ts";
import { condition, isFree, isRate, plain, ratio, type Type, typeText, zero } from "./type.ts";

// Our own algebra over the tree: which sums, products and powers of kinds and units make sense, and what they give.

const ratioKinds = new Set<Type["kind"]>(["hazard_ratio", "relative_risk", "odds_ratio"]);
const numberKinds = new Set<Type["kind"]>(["plain", "share", "ratio", "change"]);

/**
 * The type of a sum, difference, or of two values of which one is taken (`? :`, min, max).
 * Throws units-inconsistent, kind-crossing.
 */
export function united(a: Type, b: Type, what: string, place: Place): Type {
  if (a.kind === "condition" || b.kind === "condition") {
    if (a.kind === b.kind && what === "choice") return condition;
    throw inputError(
      place,
      "kind-crossing",
      typeText(a),
      typeText(b),
      "write test ? a : b to turn a condition into a number",
    );
  }
  if (a.zero && b.zero) return what === "choice" ? zero : { ...a };
  if (a.zero) return b;
  if (b.zero) return a;
  if (a.per !== undefined || b.per !== undefined) {
    if (
      a.per !== undefined &&
      b.per !== undefined &&
      a.kind === b.kind &&
      sameDimension(a.per.dimension, b.per.dimension) &&
      a.per.size === b.per.size
    )
      return a;
    throw inputError(
      place,
      "kind-crossing",
      typeText(a),
      typeText(b),
      "raise a value per unit to a quantity in that unit first",
    );
  }
  if (!sameDimension(a.dimension, b.dimension)) {
    throw inputError(place, "units-inconsistent", what, typeText(a), typeText(b));
  }
  if (a.kind === b.kind) {
    if (a.kind === "probability" && a.period !== b.period) {
      throw inputError(place, "units-inconsistent", what, typeText(a), typeText(b));
    }
    return a;
  }
  if (a.kind === "literal") return b.kind === "change" && what !== "choice" ? ratio : b;
  if (b.kind === "literal") return a.kind === "change" && what !== "choice" ? ratio : a;
  if (numberKinds.has(a.kind) && numberKinds.has(b.kind))
    return a.kind === "plain" || b.kind === "plain" ? plain(none) : ratio;
  if (a.kind === "probability" && a.period === undefined && b.kind === "share") return a;
  if (b.kind === "probability" && b.period === undefined && a.kind === "share") return b;
  throw inputError(
    place,
    "kind-crossing",
    typeText(a),
    typeText(b),
    "convert one side openly, or declare both inputs of the same kind",
  );
}

/** The type of a product. Throws kind-crossing. */
export function product(a: Type, b: Type, place: Place): Type {
  const cross = (instead: string) => inputError(place, "kind-crossing", typeText(a), typeText(b), instead);
  if (a.kind === "condition" || b.kind === "condition")
    throw cross("write test ? a : 0 instead of a product with a condition");
  if (a.zero || b.zero) return zero;
  if (a.per !== undefined || b.per !== undefined)
    throw cross("raise a value per unit to a quantity in that unit (ratio ^ quantity)");
  if (isFree(a) && isFree(b)) {
    if (a.kind === "literal") return b;
    if (b.kind === "literal") return a;
    return a.kind === b.kind && a.kind !== "change"
      ? a
      : a.kind === "change" || b.kind === "change"
        ? { kind: "change", dimension: none }
        : ratio;
  }
  if (isFree(a)) return b;
  if (isFree(b)) return a;
  for (const [x, y] of [
    [a, b],
    [b, a],
  ] as const) {
    if (x.kind === "hazard_ratio") {
      if (y.kind === "hazard_ratio" || isRate(y)) return y;
      throw cross("a hazard ratio multiplies a rate: take hazard_of of a probability first");
    }
    if (x.kind === "relative_risk") {
      if (y.kind === "relative_risk" || y.kind === "probability") return y;
      throw cross("a relative risk multiplies a probability: declare a hazard_ratio for rates, or a ratio");
    }
    if (x.kind === "odds_ratio") {
      if (y.kind === "odds_ratio") return y;
      throw cross("apply an odds ratio with with_odds(p, odds_ratio)");
    }
  }
  if (a.kind === "probability" && b.kind === "probability") {
    if (a.period === undefined) return b;
    if (b.period === undefined) return a;
    throw cross("multiply chances of one case, or let two events follow each other");
  }
  for (const [x, y] of [
    [a, b],
    [b, a],
  ] as const) {
    if (x.kind !== "probability") continue;
    if (x.period === undefined && !isNone(y.dimension)) return y;
    if (x.period === undefined) return y;
    throw cross("take hazard_of of the probability, or let an event count it");
  }
  const dimension = combined(a.dimension, b.dimension);
  return isNone(dimension) && !(isNone(a.dimension) && isNone(b.dimension)) ? ratio : plain(dimension);
}

/** The type of a quotient. Throws kind-crossing. */
export function quotient(a: Type, b: Type, place: Place): Type {
  const cross = (instead: string) => inputError(place, "kind-crossing", typeText(a), typeText(b), instead);
  if (a.kind === "condition" || b.kind === "condition")
    throw cross("write test ? a : b instead of a quotient with a condition");
  if (a.per !== undefined || b.per !== undefined)
    throw cross("raise a value per unit to a quantity in that unit first");
  if (a.zero) return zero;
  if (b.kind === "share" && a.kind === "share") return a;
  if (isFree(b) && a.kind !== "literal") return a;
  if (isFree(a) && isFree(b)) return a.kind === "literal" && b.kind === "literal" ? a : ratio;
  if (a.kind === b.kind && ratioKinds.has(a.kind)) return a;
  if (ratioKinds.has(b.kind)) {
    if (isFree(a)) return b;
    if (b.kind === "hazard_ratio" && isRate(a)) return a;
    if (b.kind === "relative_risk" && a.kind === "probability") return a;
    throw cross("divide a rate by a hazard ratio, a probability by a relative risk");
  }
  if (ratioKinds.has(a.kind)) throw cross("divide a ratio only by a ratio or a share");
  if (b.kind === "probability") {
    if (a.kind === "probability" && a.period === b.period) return ratio;
    if (isFree(a) && b.period === undefined) return ratio;
    throw cross("compare probabilities of the same period");
  }
  if (a.kind === "probability") throw cross("convert the probability openly with hazard_of");
  const dimension = combined(a.dimension, b.dimension, -1);
  return isNone(dimension) ? ratio : plain(dimension);
}

/** The type of a power; `exponent` is the value of a literal exponent. Throws kind-crossing, units-inconsistent. */
export function power(a: Type, b: Type, exponent: number | undefined, place: Place): Type {
  if (a.per !== undefined) {
    if (b.zero || sameDimension(a.per.dimension, b.dimension)) return { kind: a.kind, dimension: a.dimension };
    throw inputError(place, "units-inconsistent", "power", typeText(a), typeText(b));
  }
  const bare =
    isNone(b.dimension) &&
    b.per === undefined &&
    b.kind !== "condition" &&
    b.kind !== "probability" &&
    !ratioKinds.has(b.kind);
  if (!bare) throw inputError(place, "units-inconsistent", "power", typeText(a), typeText(b));
  if (!isNone(a.dimension)) {
    if (exponent === undefined) throw inputError(place, "units-inconsistent", "power", typeText(a), typeText(b));
    return plain(raised(a.dimension, exponent));
  }
  if (a.kind === "condition") throw inputError(place, "kind-crossing", typeText(a), typeText(b), "write test ? a : b");
  if (a.kind === "probability") return a;
  if (a.kind === "literal" || a.kind === "change") return exponent !== undefined && a.kind === "literal" ? a : ratio;
  return a;
}

/** True where two values may be compared. Throws units-inconsistent, kind-crossing. */
export function comparable(a: Type, b: Type, place: Place): Type {
  if (a.kind === "condition" || b.kind === "condition") {
    throw inputError(place, "kind-crossing", typeText(a), typeText(b), "join conditions with and, or, not");
  }
  if (!a.zero && !b.zero && !sameDimension(a.dimension, b.dimension)) {
    throw inputError(place, "units-inconsistent", "comparison", typeText(a), typeText(b));
  }
  return condition;
}
