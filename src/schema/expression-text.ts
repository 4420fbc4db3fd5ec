import { z } from "zod";

/** An expression of the language, before parsing: text, a number, true or false. */
export const ExpressionText = z
  .union([z.string(), z.number(), z.boolean()], { error: "an expression" })
  .meta({ description: "an expression: numbers with units, names, + - * / ^, comparison, ? :, and or not, functions" });
export type ExpressionText = z.infer<typeof ExpressionText>;

/** A quantity: a number with a unit, such as `6 months` or `25 kg/m2`, or a bare number. */
export const QuantityText = z
  .union([z.string(), z.number()], { error: "a quantity such as 6 months, 3% or 1450 EUR" })
  .meta({ description: "a quantity, such as 6 months, 3% / year or 1450 EUR" });
export type QuantityText = z.infer<typeof QuantityText>;
