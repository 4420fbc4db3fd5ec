import { expect, test } from "vitest";
import { runCommand } from "./run-command.ts";

test("jurisdictions lists the stored rates and thresholds with their marks", async () => {
  const { code, out } = await runCommand("jurisdictions");
  expect(code).toBe(0);
  expect(out).toMatch(
    /england-2026 +England \(NICE\), from April 2026 +2026 .* 25000, 35000 GBP\/QALY +high +discount$/m,
  );
  expect(out).toMatch(/ {2}germany-2023: no fixed threshold/);
});

test("jurisdictions gives the stored data as JSON", async () => {
  const { out } = await runCommand("jurisdictions", "--json");
  const { jurisdictions } = JSON.parse(out) as { jurisdictions: Record<string, unknown> };
  expect(jurisdictions["norway-2021"]).toMatchObject({ confidence: "medium", from_memory: ["discount", "thresholds"] });
});

test("jurisdictions of a case without the file are a located mistake", async () => {
  const { code, err } = await runCommand("jurisdictions", "--root", "tests/bad/missing-key--why");
  expect(code).toBe(1);
  expect(err).toMatch(/models\/jurisdictions.yaml:1:1: missing file/);
});
