import { z } from "zod";
import { Evidence, Source } from "./evidence.ts";
import { QuantityText } from "./expression-text.ts";
import { Expectation } from "./model.ts";

const Counting = z.union(
  [
    z.enum(["middle", "start", "end", "trapezoid", "simpson"]),
    z.strictObject({
      weights: z.union(
        [
          z.array(QuantityText),
          z.strictObject({ first: QuantityText, repeat: z.array(QuantityText), last: QuantityText }),
        ],
        { error: "a list of weights, or { first, repeat, last }" },
      ),
    }),
  ],
  { error: "middle, start, end, trapezoid, simpson or { weights: … }" },
);
export type Counting = z.infer<typeof Counting>;

/** A yearly rate, or rates from given years on. */
export const DiscountRate = z.union(
  [QuantityText, z.array(z.strictObject({ rate: QuantityText, after: QuantityText.optional() }))],
  { error: "a rate such as 3% / year, or a list of { after, rate }" },
);
export type DiscountRate = z.infer<typeof DiscountRate>;

const MoneyConversion = z.strictObject({
  to: z.string(),
  by: z.string(),
  factor: z.number().optional(),
  values: z.tuple([z.number(), z.number()], { error: "the index values of the two years" }).optional(),
  source: Source.optional(),
});

const MoneySettings = z.strictObject({
  unit: z.string(),
  price_year: z.number().int().optional(),
  conversions: z.record(z.string(), MoneyConversion).optional(),
});

/** Settings of an analysis. */
export const Settings = z.strictObject({
  /** An entry of the stored jurisdictions, for the discount rates and thresholds that are not stated. */
  jurisdiction: z.string().optional(),
  money: MoneySettings.optional(),
  compare: z.array(z.string()).optional(),
  reference: z.string().optional(),
  effect: z.string().optional(),
  cost: z.string().optional(),
  perspective: z.string().optional(),
  perspectives: z.record(z.string(), z.array(z.string())).optional(),
  horizon: QuantityText,
  discount: z
    .strictObject({
      costs: DiscountRate.optional(),
      effects: DiscountRate.optional(),
      timing: z.enum(["exact", "whole years"]).optional(),
    })
    .optional(),
  thresholds: z.array(QuantityText).optional(),
  counting: Counting.optional(),
  events_at: z.enum(["middle", "start", "end"]).optional(),
  follow_up: QuantityText.optional(),
});
export type Settings = z.infer<typeof Settings>;

const AttributeValues = z.record(z.string(), QuantityText);

/** The population: one group, named groups, or the cross of several attributes. */
export const Population = z.strictObject({
  all: AttributeValues.optional(),
  groups: z.record(z.string(), AttributeValues).optional(),
  cross: z
    .record(
      z.string(),
      z.union([z.record(z.string(), z.number()), z.array(AttributeValues)], {
        error: "shares of levels, or a list of { share, … }",
      }),
    )
    .optional(),
  source: Source.optional(),
});
export type Population = z.infer<typeof Population>;

const Points = z.array(z.tuple([QuantityText, QuantityText], { error: "a pair of position and value" }));

/** The rows of a table. */
export const TableData = z.strictObject({
  file: z.string().optional(),
  points: z.union([Points, z.record(z.string(), Points)], { error: "a list of pairs, or one per level" }).optional(),
  in: z.string().optional(),
  price_year: z.number().int().optional(),
  source: Source.optional(),
});
export type TableData = z.infer<typeof TableData>;

const Correlation = z.strictObject({
  inputs: z.array(z.string()),
  matrix: z.array(z.array(z.number())),
  is: z.enum(["normal scores", "spearman", "covariance"]).optional(),
  source: Source.optional(),
});

const CoursePoint = z.strictObject({
  at: QuantityText,
  mean: QuantityText,
  se: QuantityText.optional(),
  sd: QuantityText.optional(),
  n: z.number().optional(),
});

/** A course over time reported at points, from which parameters are estimated together. */
const FittedCourse = z.strictObject({
  family: z.enum(["return to zero", "return to a plateau", "rise to a level"]),
  points: z.array(CoursePoint),
  in: z.string().optional(),
  correlation: z
    .union([z.number(), z.array(z.array(z.number()))], { error: "a number, or rows of a matrix" })
    .optional(),
  given: z.record(z.string(), QuantityText).optional(),
  scale: z.record(z.string(), z.enum(["natural", "log", "logit"])).optional(),
  note: z.string().optional(),
  source: Source.optional(),
});
export type FittedCourse = z.infer<typeof FittedCourse>;

/** A scenario file: data for a model. Keys that a base scenario supplies may be absent, except `scenario`. */
export const Scenario = z.strictObject({
  scenario: z.string(),
  about: z.string().optional(),
  model: z.string(),
  extends: z.string().optional(),
  settings: Settings,
  population: Population.optional(),
  inputs: z.record(z.string(), Evidence).optional(),
  tables: z.record(z.string(), TableData).optional(),
  alternatives: z
    .record(
      z.string(),
      z.record(z.string(), z.union([z.number(), z.string()], { error: "a weight, or why and source" })),
    )
    .optional(),
  fitted: z.record(z.string(), FittedCourse).optional(),
  ordered: z.array(z.array(z.string())).optional(),
  correlated: z.array(Correlation).optional(),
  expect: z.record(z.string(), Expectation).optional(),
  runs: z
    .strictObject({
      draws: z.number().int().min(0).max(10_000_000).optional(),
      seed: z.union([z.string(), z.number()], { error: "text or a number" }).optional(),
      design: z.enum(["plain", "stratified", "quasi"]).optional(),
    })
    .optional(),
});
export type Scenario = z.infer<typeof Scenario>;
