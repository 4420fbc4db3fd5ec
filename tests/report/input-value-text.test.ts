import { join } from "node:path";
import { expect, test } from "vitest";
import { folderFiles } from "../../src/host/files.ts";
import { inputValueText } from "../../src/report/input-value-text.ts";
import { openStudy } from "../../src/study.ts";

const { program } = openStudy(folderFiles(join(import.meta.dirname, "../..")), "scenarios/harbour/base.scenario.yaml");

test.each([
  ["loss_at_end", 0.0957, "9.57%"],
  ["cannot_swallow", 0.125, "12.5%"],
  ["regain", 0.5312, "0.531 per year"],
  ["loss_per_bmi", 0.00295, "0.00295 per kg/m2"],
  ["diabetes_loss", 0.034, "0.034"],
  ["care_per_bmi", 29.7, "29.7 EUR/year"],
  ["onset_per_bmi", 1.23, "1.23"],
  ["extra_kept", 3, "follow up"],
])("%s of %d reads %s", (name, value, text) => {
  const input = program.inputs.find((one) => one.name === name)!;
  expect(inputValueText(program, input, value)).toBe(text);
});
