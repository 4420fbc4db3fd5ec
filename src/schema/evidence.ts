import { z } from "zod";
import { QuantityText } from "./expression-text.ts";

/** Where a value comes from. */
export const Source = z.union(
  [
    z.string(),
    z.strictObject({
      cite: z.string().optional(),
      note: z.string().optional(),
      year: z.number().optional(),
      page: z.union([z.string(), z.number()], { error: "a page" }).optional(),
      same_as: z.string().optional(),
    }),
  ],
  { error: "invented, a citation, or { cite, note, year, page }" },
);
export type Source = z.infer<typeof Source>;

const Fixed = z.union([QuantityText, z.record(z.string(), QuantityText)], { error: "a quantity, or one per cell" });

const Observed = z.strictObject({
  events: z.number().optional(),
  of: z.number().optional(),
  person_time: QuantityText.optional(),
  counts: z.record(z.string(), z.number()).optional(),
  mean: QuantityText.optional(),
  sd: QuantityText.optional(),
  n: z.number().optional(),
});

const Prior = z.union([z.literal("none"), z.number(), z.strictObject({ a: z.number(), b: z.number() })], {
  error: "none, a number, or { a, b }",
});

/** The value of one cell, in the form the evidence reports it; exactly one form. */
export const Evidence = z.strictObject({
  fixed: Fixed.optional(),
  why: z.string().optional(),
  observed: Observed.optional(),
  mean: QuantityText.optional(),
  se: QuantityText.optional(),
  estimate: QuantityText.optional(),
  interval: z.tuple([QuantityText, QuantityText], { error: "a list of two bounds" }).optional(),
  level: QuantityText.optional(),
  quantiles: z.record(z.string(), QuantityText).optional(),
  draws: z.string().optional(),
  column: z.string().optional(),
  chosen: z.record(z.string(), z.number()).optional(),
  same_as: z.string().optional(),
  fitted: z.string().optional(),
  in: z.string().optional(),
  price_year: z.number().int().optional(),
  per: QuantityText.optional(),
  prior: Prior.optional(),
  small: z.literal("t").optional(),
  center: z.literal("mean").optional(),
  distribution: z
    .enum(["normal", "log-normal", "logit-normal", "gamma", "beta", "t", "uniform", "one-minus-gamma"])
    .optional(),
  range: z.tuple([QuantityText, QuantityText], { error: "a list of two bounds" }).optional(),
  source: Source.optional(),
  note: z.string().optional(),
  get by() {
    return z.record(z.string(), Evidence).optional();
  },
  get each() {
    return z.record(z.string(), Evidence).optional();
  },
});
export type Evidence = z.infer<typeof Evidence>;

/** The keys that each name a form of evidence. */
export const evidenceForms = [
  "fixed",
  "observed",
  "mean",
  "estimate",
  "quantiles",
  "draws",
  "chosen",
  "same_as",
  "fitted",
  "by",
  "each",
] as const;
