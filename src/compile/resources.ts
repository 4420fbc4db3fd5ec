import { combined, type Dimension, money, none, piece, sameDimension } from "../schema/dimension.ts";
import { unitOf } from "../schema/unit.ts";
import { boundAt, type Context, modelPlace } from "./context.ts";
import type { Resource } from "./program.ts";
import { typeText } from "./type.ts";

/** The dimension of a resource's unit: times are times, every other word counts pieces. */
export function resourceDimension(unit: string): Dimension {
  return unitOf(unit)?.dimension ?? piece;
}

/** The model's resources with their prices. Mistakes go to the findings. */
export function readResources(context: Context): readonly Resource[] {
  return Object.entries(context.model.data.resources ?? {}).map(([name, declared], index): Resource => {
    if (!/^[a-z][a-z0-9_]*$/.test(name))
      context.findings.add(modelPlace(context, ["resources", name], true), "invalid-name", name);
    const price = boundAt(context, ["resources", name, "price"]);
    const dimension = resourceDimension(declared.in);
    const wanted = combined(money, dimension, -1);
    const perPiece = dimension[5] === 1 && sameDimension(price.type.dimension, money);
    if (!price.failed && !price.type.zero && !perPiece && !sameDimension(price.type.dimension, wanted)) {
      context.findings.add(price.source.place, "unit-mismatch", typeText(price.type), `a price per ${declared.in}`);
    }
    return {
      index,
      name,
      label: declared.label ?? name.replaceAll("_", " "),
      unit: declared.in,
      unitSize: unitOf(declared.in)?.factor ?? 1,
      price: price.node,
      bearer: declared.borne_by ?? null,
      line: declared.line ?? name,
      source: price.source,
    };
  });
}

/** The dimension of what an account counts in: money, QALY, a time, or bare numbers and pieces. */
export function accountDimension(unit: string | undefined): Dimension {
  if (unit === "money") return money;
  const known = unit === undefined ? undefined : unitOf(unit);
  return known === undefined || known.dimension[5] === 1 ? none : known.dimension;
}
