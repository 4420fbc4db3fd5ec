import { expect, test } from "vitest";
import { lawOf } from "../../src/evidence/law.ts";
import { expectClose } from "../close.ts";

/** Published parameters: recomputed ones to 1e-7 and the printed ones to half a unit of their last digit. */
function expectParameters(
  result: ReturnType<typeof lawOf>,
  recomputed: Readonly<Record<string, number>>,
  printed: Readonly<Record<string, number>>,
): void {
  if ("problem" in result) throw new Error(result.problem);
  const { parameters } = result.law;
  for (const [name, value] of Object.entries(recomputed)) expectClose(parameters[name]!, value, 1e-7);
  for (const [name, value] of Object.entries(printed)) {
    expect(Math.abs(parameters[name]! - value), name).toBeLessThanOrEqual(0.005);
  }
}
const mean = (value: number, se: number) => ({ form: "mean", mean: value, se, n: null }) as const;

// Briggs, Claxton, Sculpher, Decision Modelling for Health Economic Evaluation (OUP 2006), ch. 4 (from memory)
test.each([
  [0.85, 0.03, 119.566666667, 21.1, 119.57, 21.1],
  [0.75, 0.04, 87.140625, 29.046875, 87.14, 29.05],
  [0.3, 0.03, 69.7, 162.633333333, 69.7, 162.63],
])("a utility of mean %d and standard error %d has the published beta law", (m, se, a, b, printedA, printedB) => {
  const law = lawOf(mean(m, se), { kind: "utility", isSlope: false }, {});
  expectParameters(law, { a, b }, { a: printedA, b: printedB });
});

test("a cost of mean 5294 and standard error 1487 has the published gamma law", () => {
  const law = lawOf(mean(5294, 1487), { kind: "cost", isSlope: false }, {});
  expectParameters(law, { shape: 12.674940721401212, scale: 417.67453721193806 }, { shape: 12.67, scale: 417.67 });
});

test("a relative risk of 0.509 (0.365 to 0.710) has the published log-normal law", () => {
  // interval from the abstract of Chancellor et al., PharmacoEconomics 1997; law recomputed
  const law = lawOf(
    { form: "estimate", estimate: 0.509, low: 0.365, high: 0.71, level: 0.95 },
    { kind: "relative_risk", isSlope: false },
    {},
  );
  expectParameters(law, { mu: -0.6753072624316143, sigma: 0.169739755818235 }, {});
});

test("a log-normal law of mean 100 and standard deviation 50 has the moments' parameters", () => {
  // closed form: sigma^2 = ln(1 + sd^2 / mean^2), mu = ln mean - sigma^2 / 2
  const law = lawOf(mean(100, 50), { kind: "cost", isSlope: false }, { family: "log-normal" });
  expectParameters(law, { mu: 4.4935984103309865, sigma: 0.47238072707743883 }, {});
  if ("law" in law) expectClose([law.law.mean, law.law.variance], [100, 2500], 1e-13);
});

test.each([0.5, 0.6])("a share of mean 0.5 and standard error %d is refused: no beta law is so wide", (se) => {
  expect(lawOf(mean(0.5, se), { kind: "share", isSlope: false }, {})).toHaveProperty("problem");
});
