import { join } from "node:path";
import { expect, test } from "vitest";
import { folderFiles } from "../../src/host/files.ts";
import { conversionsText, jurisdictionText } from "../../src/report/taken-over.ts";
import { openStudy } from "../../src/study.ts";

const files = folderFiles(join(import.meta.dirname, "../.."));

test("what is taken from a jurisdiction is told, with what is from memory", () => {
  const { program } = openStudy(files, "scenarios/harbour/irish-rates.scenario.yaml");
  const applied = program.jurisdiction!;
  expect(jurisdictionText(applied)).toBe("thresholds and discount rates of Ireland (HIQA), 2020; from memory: all");
  expect(jurisdictionText({ ...applied, from_memory: ["discount"] })).toBe(
    "thresholds and discount rates of Ireland (HIQA), 2020; from memory: discount rates",
  );
  expect(jurisdictionText(openStudy(files, "scenarios/harbour/base.scenario.yaml").program.jurisdiction)).toBeNull();
});

test("each step of money is told with its index and factor", () => {
  const source = { cite: "constructed" };
  expect(conversionsText(undefined)).toBeNull();
  expect(
    conversionsText({
      "USD 2019": { to: "USD 2025", by: "consumer prices", values: [80, 100], source },
      "USD 2025": { to: "EUR 2025", by: "purchasing power", factor: 0.7, source },
    }),
  ).toBe("USD 2019 to USD 2025 by consumer prices, times 1.25; USD 2025 to EUR 2025 by purchasing power, times 0.7");
});
