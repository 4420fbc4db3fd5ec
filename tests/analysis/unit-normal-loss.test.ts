import { expect, test } from "vitest";
import { unitNormalLoss } from "../../src/analysis/unit-normal-loss.ts";

// phi(z) - z (1 - Phi(z)) in closed form; to four places the values of any table after Raiffa and Schlaifer 1961
// (from memory): 0.3989, 0.1978, 0.0833, 0.0293, 0.0085, 0.0020, 0.0004 at 0, 0.5, ..., 3.
const cases: readonly (readonly [z: number, loss: number])[] = [
  [0, 0.3989422804014327],
  [0.1, 0.3509353312047147],
  [0.5, 0.19779655740130608],
  [1, 0.08331547058768629],
  [1.5, 0.029306793762604616],
  [2, 0.008490702616829646],
  [2.5, 0.0020041371791281425],
  [3, 0.0003821543170476971],
];

test.each(cases)("at %d the loss is %d", (z, loss) => {
  expect(Math.abs(unitNormalLoss(z) / loss - 1)).toBeLessThan(1e-13);
});

test.each(cases)("at -%d it is larger by that much", (z, loss) => {
  expect(Math.abs(unitNormalLoss(-z) - (loss + z))).toBeLessThan(1e-13);
});

test("far above 0 it vanishes without turning negative", () => {
  let before = unitNormalLoss(0);
  for (let z = 0.25; z <= 40; z += 0.25) {
    const here = unitNormalLoss(z);
    expect(here).toBeGreaterThanOrEqual(0);
    expect(here).toBeLessThanOrEqual(before);
    before = here;
  }
});
