import { z } from "zod";
import { ExpressionText, QuantityText } from "./expression-text.ts";

const listOrOne = <T extends z.ZodType>(item: T, expected: string) =>
  z.union([item, z.array(item)], { error: expected });

/** The kinds of quantity an input can be. */
export const Kind = z.enum([
  "probability",
  "rate",
  "hazard_ratio",
  "relative_risk",
  "odds_ratio",
  "ratio",
  "share",
  "change",
  "cost",
  "utility",
  "duration",
  "money",
  "count",
  "number",
  "choice",
]);
export type Kind = z.infer<typeof Kind>;

/** What the scenario must supply. */
export const InputDeclaration = z.strictObject({
  is: Kind,
  per: QuantityText.optional(),
  of: listOrOne(z.string(), "a word such as case, or a list of choices").optional(),
  in: z.string().optional(),
  by: z.literal("strategy").optional(),
  over: z.array(z.string()).optional(),
  each_sums: z.boolean().optional(),
  label: z.string().optional(),
});
export type InputDeclaration = z.infer<typeof InputDeclaration>;

/** A care pathway. */
export const StrategyDeclaration = z.strictObject({
  label: z.string(),
  called: z.string().optional(),
  has: z.array(z.string()).optional(),
  steps: z.array(z.string()).optional(),
});

/** An attribute of population groups. */
export const AttributeDeclaration = z.union(
  [z.array(z.string()), z.strictObject({ is: Kind, in: z.string().optional(), label: z.string().optional() })],
  { error: "a list of levels, or { is: number, in: kg/m2 }" },
);
export type AttributeDeclaration = z.infer<typeof AttributeDeclaration>;

/** A table of numbers by position and levels. */
export const TableDeclaration = z.strictObject({
  by: z.record(z.string(), z.union([z.string(), z.array(z.string())], { error: "a unit, or a list of levels" })),
  is: Kind,
  per: QuantityText.optional(),
  of: z.string().optional(),
  in: z.string().optional(),
  between: z.enum(["step", "linear", "monotone"]).optional(),
  beyond: z.enum(["last", "error"]).optional(),
  last: z.literal("certain").optional(),
  label: z.string().optional(),
});
export type TableDeclaration = z.infer<typeof TableDeclaration>;

/** A formula, or variants whose weights the scenario gives. */
export const Formula = z.union(
  [
    ExpressionText,
    z.strictObject({ alternatives: z.record(z.string(), ExpressionText), label: z.string().optional() }),
  ],
  { error: "an expression, or { alternatives: { name: expression } }" },
);
export type Formula = z.infer<typeof Formula>;

/** A formula shown over time. */
export const Curve = z.strictObject({ of: ExpressionText, label: z.string().optional(), in: z.string().optional() });

/** A level that keeps a clock, or has a label. */
export const ClockedLevel = z.strictObject({
  lasts: ExpressionText.optional(),
  // biome-ignore lint/suspicious/noThenProperty: the word of the language
  then: z.string().optional(),
  clock: QuantityText.optional(),
  label: z.string().optional(),
});
/** A level of a factor. */
export const LevelDeclaration = z.union([z.string(), z.record(z.string(), ClockedLevel)], {
  error:
    "a level, or { level: { lasts: duration, then: level } }, { level: { clock: 12 cycles } } or { level: { label } }",
});

/** Where people start. */
export const Start = z.union([z.string(), z.record(z.string(), ExpressionText)], {
  error: "a level, or shares of levels",
});

/** Something used, with its price. */
export const Resource = z.strictObject({
  in: z.string(),
  price: ExpressionText,
  borne_by: z.string().optional(),
  line: z.string().optional(),
  label: z.string().optional(),
});

/** Whom an event or a line concerns. */
export const Condition = z.union(
  [z.literal("alive"), z.record(z.string(), listOrOne(z.string(), "a level or a list of levels"))],
  { error: "alive, or levels of factors such as { course: waiting }" },
);
export type Condition = z.infer<typeof Condition>;

/** Where an event takes people. */
export const Move = z.union([z.literal("dead"), z.record(z.string(), z.string())], {
  error: "dead, or levels of factors such as { course: in_place }",
});
export type Move = z.infer<typeof Move>;

const Uses = z.record(z.string(), ExpressionText);

/** One way an event can go; children are conditional on their parent. */
export const Branch = z.strictObject({
  chance: ExpressionText.optional(),
  rest: z.literal(true).optional(),
  // biome-ignore lint/suspicious/noThenProperty: the word of the language
  then: Move.optional(),
  uses: Uses.optional(),
  label: z.string().optional(),
  get one_of() {
    return z.record(z.string(), Branch).optional();
  },
});
export type Branch = z.infer<typeof Branch>;

const eventForm = {
  at: listOrOne(ExpressionText, "an instant such as 6 months, or a list").optional(),
  every: QuantityText.optional(),
  from: QuantityText.optional(),
  until: QuantityText.optional(),
  shares: z.string().optional(),
  rate: ExpressionText.optional(),
  crude: ExpressionText.optional(),
  chance: ExpressionText.optional(),
  ends: z.record(z.string(), z.string()).optional(),
  after: z.record(z.string(), QuantityText).optional(),
  strategies: z.array(z.string()).optional(),
  while: Condition.optional(),
  // biome-ignore lint/suspicious/noThenProperty: the word of the language
  then: Move.optional(),
  uses: Uses.optional(),
  one_of: z.record(z.string(), Branch).optional(),
};

/** One form of an event. */
export const EventCase = z.strictObject(eventForm);
export type EventCase = z.infer<typeof EventCase>;
/** Something that can happen. */
export const EventDeclaration = z.strictObject({
  ...eventForm,
  cases: z.array(EventCase).optional(),
  label: z.string().optional(),
});
export type EventDeclaration = z.infer<typeof EventDeclaration>;

/** One line of an account. */
export const Line = z.strictObject({
  amount: ExpressionText,
  while: Condition.optional(),
  on: z.string().optional(),
  strategies: z.array(z.string()).optional(),
  borne_by: z.string().optional(),
  label: z.string().optional(),
});
export type Line = z.infer<typeof Line>;

/** Something counted. */
export const Account = z.strictObject({
  in: z.string().optional(),
  discount: z.enum(["costs", "effects", "none"]).optional(),
  resources: z.union([z.literal("all"), z.array(z.string())], { error: "all, or a list of resources" }).optional(),
  lines: z.record(z.string(), Line).optional(),
  count: listOrOne(z.string(), "the path of an event, or a list").optional(),
  label: z.string().optional(),
});
export type Account = z.infer<typeof Account>;

/** An assertion of the author. */
export const Expectation = z.union(
  [
    ExpressionText,
    z.strictObject({
      that: ExpressionText,
      within: QuantityText.optional(),
      otherwise: z.literal("warn").optional(),
      why: z.string().optional(),
    }),
  ],
  { error: "a comparison, or { that: comparison, within: 1% }" },
);
export type Expectation = z.infer<typeof Expectation>;

/** A model file: structure without data. */
export const Model = z.strictObject({
  model: z.string(),
  about: z.string().optional(),
  cycle: QuantityText,
  evaluate: z.enum(["middle", "start"]).optional(),
  strategies: z.record(z.string(), StrategyDeclaration),
  population: z.record(z.string(), AttributeDeclaration).optional(),
  inputs: z.record(z.string(), InputDeclaration).optional(),
  tables: z.record(z.string(), TableDeclaration).optional(),
  formulas: z.record(z.string(), Formula).optional(),
  curves: z.record(z.string(), Curve).optional(),
  factors: z.record(z.string(), z.array(LevelDeclaration)).optional(),
  start: z.record(z.string(), Start).optional(),
  death: z.string().optional(),
  resources: z.record(z.string(), Resource).optional(),
  events: z.record(z.string(), EventDeclaration).optional(),
  accounts: z.record(z.string(), Account),
  expect: z.record(z.string(), Expectation).optional(),
});
export type Model = z.infer<typeof Model>;
