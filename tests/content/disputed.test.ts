import { describe, expect, test } from "vitest";
import { type Variant, variant } from "./variant.ts";

// Each point that reviewers of such models dispute has a switch in the demo. Flipping it from the base scenario moves what
// a strategy costs and yields more than the programme, in a stated group, in the direction that the point claims. The
// directions are derived beside each line, not read off the results. DEVELOPERS.md lists the same switches.

type Sign = -1 | 0 | 1;

/** Point; lines laid over the base scenario; strategy; group; sign of the change in what it costs and in what it yields more. */
type Disputed = readonly [point: string, flip: string, strategy: string, group: string, cost: Sign, qaly: Sign];

const why = "why: flipped, source: test";
const fixed = (...values: readonly string[]): string =>
  `inputs: { ${values
    .map((text) => text.split("="))
    .map(([name, value]) => `${name}: { fixed: ${value}, ${why} }`)
    .join(", ")} }`;
const ofSwallowed = (name: string, value: string): string =>
  `inputs: { ${name}: { by: { swallowed: { fixed: ${value}, ${why} } } } }`;
const nobodyLeaves = ["programme", "swallowed", "endoscopic", "medicine"]
  .map(
    (id) =>
      `${id}: { each: { ${["first", "second", "third"].map((at) => `${at}: { fixed: 0, ${why} }`).join(", ")} } }`,
  )
  .join(", ");
const services = [
  ...["clinic_price=0 EUR/hour", "suite_price=0 EUR/hour", "sedation_price=0 EUR/hour", "image_price=0 EUR"],
  ...[
    "removal_kit_price=0 EUR",
    "check_price=0 EUR",
    "rescue_price=0 EUR",
    "bed_price=0 EUR/day",
    "surgery_price=0 EUR",
  ],
];

const points: readonly Disputed[] = [
  // a loss that stays saves care and adds quality of life
  ["1 weight returns", fixed("regain=0 / year"), "swallowed", "female.bmi_2", -1, 1],
  // risk that stays low after weight is back
  ["2 benefit is carried over", fixed("legacy=carried"), "swallowed", "female.bmi_2", -1, 1],
  // nothing that is paid hangs on quality of life
  ["3 quality of life is counted twice", fixed("bmi_utility=in_full"), "swallowed", "female.bmi_2", 0, 1],
  ["3 quality of life by body mass index left out", fixed("bmi_utility=left_out"), "swallowed", "female.bmi_2", 0, -1],
  // the balloon's total stays, what the comparator loses by itself goes
  [
    "4 the comparator does nothing",
    `inputs: { loss_at_end: { by: { programme: { fixed: 0, ${why} } } } }`,
    ...(["swallowed", "female.bmi_2"] as const),
    -1,
    1,
  ],
  // less effect, less saved
  ["5 a study without a control arm", ofSwallowed("believed", "0.8"), "swallowed", "female.bmi_2", 1, -1],
  // only those spared a disease live longer, fewer than by body mass index; years not lived cost nothing
  ["6 deaths by disease instead of body mass index", fixed("deaths_by=disease"), "swallowed", "male.bmi_3", -1, -1],
  // who stopped early is given the loss of those who did not
  ["7 completers stand for everybody", fixed("loss_of=all_placed"), "endoscopic", "female.bmi_2", -1, 1],
  // a unit costs 32 - 25 = 7 twentieths of the even price at a body mass index of 32 (twice that at the margin), 1.6 times at 41
  [
    "9 cost per unit rises, class I",
    "alternatives: { other_care: { even: 0, rising: 1, by_class: 0, left_out: 0, why: flipped } }",
    ...(["swallowed", "female.bmi_1"] as const),
    1,
    0,
  ],
  [
    "9 cost per unit rises, class III",
    "alternatives: { other_care: { even: 0, rising: 1, by_class: 0, left_out: 0, why: flipped } }",
    ...(["swallowed", "female.bmi_3"] as const),
    -1,
    0,
  ],
  // those who lose more have more remissions to keep
  ["10 remission is permanent", fixed("relapse=0 / year"), "swallowed", "female.bmi_2", -1, 1],
  // all that the device brings with it is priced at nothing
  ["11 the device's price is its cost", fixed(...services), "endoscopic", "female.bmi_2", -1, 0],
  // what the device costs comes first, what it saves and yields comes later
  ["12 no extrapolation beyond three years", "settings: { horizon: 3 years }", "swallowed", "female.bmi_2", 1, -1],
  // more leave the programme alone, for a treatment that is paid for and works
  ["13 nobody leaves", `inputs: { switch_share: { by: { ${nobodyLeaves} } } }`, "swallowed", "female.bmi_2", 1, 1],
  // list instead of net price
  ["14 the medicine at list price", fixed("rebate=0"), "medicine", "female.bmi_2", 1, 0],
];

/** Sign of a change, 0 where it is rounding. */
const signOf = (now: number, before: number): number =>
  Math.abs(now - before) <= 1e-9 * Math.abs(before) ? 0 : Math.sign(now - before);

describe("what reviewers dispute, flipped one at a time", () => {
  const settings = (strategy: string, horizon: string): string =>
    `settings: { compare: [programme, ${strategy}], horizon: ${horizon} }\n`;
  const bases = new Map<string, Variant>();
  const base = (strategy: string): Variant => {
    const known = bases.get(strategy) ?? variant(settings(strategy, "12 years"));
    bases.set(strategy, known);
    return known;
  };

  test.each(points)("%s", (_, flip, strategy, group, cost, qaly) => {
    const laid = flip.startsWith("settings") ? settings(strategy, "3 years") : settings(strategy, "12 years") + flip;
    const now = variant(laid).more(strategy, group);
    const before = base(strategy).more(strategy, group);
    if (process.env["SHOW"]) console.log(_, now, before);
    expect([signOf(now.cost, before.cost), signOf(now.qaly, before.qaly)]).toEqual([cost, qaly]);
  });

  test("8 people differ in body mass index: a mean person saves less than people do on average", () => {
    // risk of death and of diabetes bends upwards with body mass index, so the mean of the gains is above the gain at the
    // mean: 0.40 x 32 + 0.35 x 36 + 0.25 x 41 = 35.65
    const one = `population: { cross: { sex: { female: 0.65, male: 0.35 }, bmi: [{ share: 1, label: the mean, start_bmi: 35.65 kg/m2 }] } }`;
    const mean = variant(settings("swallowed", "12 years") + one);
    const everybody = (one: Variant): number =>
      one.study.program.groups.reduce((sum, { id, share }) => sum + share * one.more("swallowed", id).qaly, 0);
    if (process.env["SHOW"]) console.log(everybody(mean), everybody(base("swallowed")));
    expect(mean.study.program.groups).toHaveLength(2);
    expect(everybody(mean)).toBeLessThan(everybody(base("swallowed")));
  });
});
