import { describe, expect, test } from "vitest";
import { findCase, folderFiles } from "../../src/host/files.ts";
import { register } from "../../src/report/register.ts";
import { openStudy } from "../../src/study.ts";
import { changedText, noEdits, sameEdits, withEdit, withoutEdit } from "../../web/edits.ts";
import { type EvidenceText, evidenceFields, weightFields, withField, writtenIn } from "../../web/evidence-fields.ts";
import { failedChecks, findingsOfField, findingsOfInput } from "../../web/refusals.ts";

const shown = (evidence: EvidenceText): readonly string[] =>
  evidenceFields(evidence).map((field) => {
    const { text, unit } = writtenIn(evidence, field);
    return `${[...field.cell, field.label].join(" ")}: ${text}${unit === "" ? "" : ` [${unit}]`}`;
  });

describe("evidence as fields", () => {
  test.each<[EvidenceText, readonly string[]]>([
    [{ fixed: "1450 EUR", why: "asking price" }, ["value: 1450 [EUR]"]],
    [{ observed: { events: 3, of: 61 }, source: "invented" }, ["events: 3", "of: 61"]],
    [{ observed: { events: 12, person_time: "830 years" } }, ["events: 12", "person-time: 830 [years]"]],
    [{ observed: { counts: { A: 12, plain_end: 3 } } }, ["A: 12", "plain end: 3"]],
    [
      { observed: { mean: "11.2%", sd: "6.1%", n: 52 }, small: "t" },
      ["mean: 11.2 [%]", "standard deviation: 6.1 [%]", "people: 52"],
    ],
    [{ mean: "2 days", se: "0.4 days" }, ["mean: 2 [days]", "standard error: 0.4 [days]"]],
    [
      { estimate: "0.35 / year", interval: [0.2, 0.61], in: "/ year", level: "95%" },
      ["estimate: 0.35 [/ year]", "low: 0.2 [/ year]", "high: 0.61 [/ year]", "level: 95 [%]"],
    ],
    [{ quantiles: { "5%": "0.3%", "50%": "1.5%" } }, ["5%: 0.3 [%]", "50%: 1.5 [%]"]],
    [{ fixed: { standard: 28, extended: 74 }, in: "EUR" }, ["standard: 28 [EUR]", "extended: 74 [EUR]"]],
    [{ chosen: { short: 0.8, extended: 0.2 } }, ["short: 0.8", "extended: 0.2"]],
    [{ fixed: "extended", why: "recommended" }, ["value: extended"]],
    [
      { by: { new: { fixed: "900 EUR" }, usual: { mean: "3 EUR", se: "1 EUR" } }, source: "invented" },
      ["new value: 900 [EUR]", "usual mean: 3 [EUR]", "usual standard error: 1 [EUR]"],
    ],
    [{ each: { ulcer: { same_as: "stay.bleeding" } } }, []],
  ])("%j", (evidence, fields) => {
    expect(shown(evidence)).toEqual(fields);
  });

  test("weights of a formula's variants leave their reason and source out", () => {
    const weights = { even: 0.6, rising: 0.4, why: "published estimates disagree", source: "invented" };
    expect(weightFields(weights).map(({ label, text }) => [label, text])).toEqual([
      ["even", "0.6"],
      ["rising", "0.4"],
    ]);
  });

  test("every value of the demonstration that has a number has a field for it, and writes back as it was", () => {
    const { root, path } = findCase("scenarios/harbour/base.scenario.yaml");
    const { inputs } = register(openStudy(folderFiles(root), path).program);
    for (const { evidence, declaration } of inputs) {
      const text = evidence as EvidenceText;
      const fields = declaration === null ? weightFields(text) : evidenceFields(text);
      // a parameter of a fitted course has no number of its own
      expect(fields.length > 0).toBe(!("fitted" in text));
      for (const field of fields) {
        const { text: written } = writtenIn(text, field);
        expect(withField(text, field, written)).toEqual(text);
      }
    }
  });
});

describe("an edit", () => {
  const price = { by: { new: { fixed: "1450 EUR", why: "asking" } }, source: "invented" };
  const [field] = evidenceFields(price);
  const edited = (text: string): unknown => withField(price, field!, text);
  const at = (value: string): unknown => ({ by: { new: { fixed: value, why: "asking" } }, source: "invented" });

  test("keeps the unit, lets the reader write one, and keeps what is no number for the server to refuse", () => {
    expect(edited("1200")).toEqual(at("1200 EUR"));
    expect(edited("1200 GBP")).toEqual(at("1200 GBP"));
    expect(edited("abc")).toEqual(at("abc EUR"));
    expect(edited("")).toEqual(at(" EUR"));
  });

  test("shows what the reader wrote, whatever it is", () => {
    for (const text of ["1200", "abc", "", "1e3", "-5", "1200 GBP"])
      expect(writtenIn(withField(price, field!, text), field!).text).toBe(text);
  });

  test("numbers stay numbers, also behind a common unit", () => {
    const counts = { observed: { events: 3, of: 61 } };
    const [events] = evidenceFields(counts);
    expect(withField(counts, events!, "4")).toEqual({ observed: { events: 4, of: 61 } });
    expect(withField(counts, events!, "many")).toEqual({ observed: { events: "many", of: 61 } });
    const bounds = { interval: [0.2, 0.61], in: "/ year" };
    expect(withField(bounds, evidenceFields(bounds)[1]!, "0.7")).toEqual({ interval: [0.2, 0.7], in: "/ year" });
  });

  test("is none once the value is again the scenario's", () => {
    const one = withEdit(noEdits, "price", edited("1200") as EvidenceText, price);
    expect(Object.keys(one)).toEqual(["price"]);
    expect(withEdit(one, "price", edited("1450") as EvidenceText, price)).toEqual(noEdits);
    expect(withoutEdit(one, "price")).toEqual(noEdits);
  });

  test("counts and compares by input, in any order", () => {
    const a = { fixed: 1 };
    const b = { fixed: 2 };
    expect(sameEdits({ a, b }, { b, a })).toBe(true);
    expect(sameEdits({ a }, { a: b })).toBe(false);
    expect([changedText({}), changedText({ a }), changedText({ a, b })]).toEqual([
      "Nothing changed",
      "1 input changed",
      "2 inputs changed",
    ]);
  });
});

describe("refusals find their fields", () => {
  const at = (path: string) =>
    ({ code: "evidence-invalid", file: "changes", line: 1, column: 1, path, message: path, hint: "" }) as const;
  const findings = [
    at("inputs.price.by.new.fixed"),
    at("inputs.swallow.observed"),
    at("inputs.price_index.fixed"),
    at("inputs.price"),
  ];

  test("by the path of the value or of what holds it", () => {
    const named = (root: string, path: readonly string[]): readonly string[] =>
      findingsOfField(findings, root, path).map((found) => found.path);
    expect(named("inputs.price", ["by", "new", "fixed"])).toEqual(["inputs.price.by.new.fixed", "inputs.price"]);
    expect(named("inputs.swallow", ["observed", "events"])).toEqual(["inputs.swallow.observed"]);
    expect(named("inputs.swallow", ["prior"])).toEqual([]);
  });

  test("checks that failed can be left out only where they are the scenario's own and nothing else is wrong", () => {
    const check = (name: string) => ({ ...at(`expect.${name}.that`), code: "expectation-failed" }) as const;
    expect(failedChecks([check("a"), check("a"), check("b")], ["a", "b"])).toEqual(["a", "b"]);
    expect(failedChecks([check("a"), check("of_the_model")], ["a"])).toEqual([]);
    expect(failedChecks([check("a"), at("inputs.price")], ["a"])).toEqual([]);
  });

  test("and an input takes its own only", () => {
    expect(findingsOfInput(findings, "inputs.price").map(({ path }) => path)).toEqual([
      "inputs.price.by.new.fixed",
      "inputs.price",
    ]);
  });
});
