import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { variant } from "./variant.ts";

const root = join(import.meta.dirname, "../..");
const folder = join(root, "tests/fixtures/content");
const sheet = JSON.parse(readFileSync(join(folder, "us-course.json"), "utf8")) as { readonly total: number };
const nobodyDies = `age,male,female\n${Array.from({ length: 110 }, (_, age) => `${age},0,0`).join("\n")}\n`;

test("an endoscopic course at prices of the United States costs its hand sum to the cent", () => {
  const text = readFileSync(join(folder, "us-course.scenario.yaml"), "utf8");
  const base = "scenarios/harbour/base.scenario.yaml";
  const run = variant(text, {
    [base]: readFileSync(join(root, base), "utf8").replaceAll("EUR", "USD"),
    "models/tables/nobody-dies.csv": nobodyDies,
  });
  const cost = run.of("endoscopic").cost;
  expect(Math.abs(cost - sheet.total)).toBeLessThan(0.005);
  // all-in charges of 8,000 to 20,000 USD: common practice
  expect(cost).toBeGreaterThan(8000);
  expect(cost).toBeLessThan(20_000);
});
