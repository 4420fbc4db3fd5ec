import { describe, expect, test } from "vitest";
import { bearerTable, costDifferences, countedLines } from "../../src/report/cost-differences.ts";
import { effectAccount, effectName } from "../../src/report/effect-account.ts";
import { indexLine } from "../../src/report/index-line.ts";
import { methodNotes } from "../../src/report/method-notes.ts";
import { planeOutline } from "../../src/report/plane-outline.ts";
import { questions } from "../../src/report/result.ts";
import { quadrantTable, sufficiencyTable } from "../../src/report/sure-tables.ts";
import { answeredDocument } from "./document.ts";

const document = answeredDocument();
const { costs, worth, compared } = document.answers;
const sure = document.answers.sure!;

describe("costs as pictures need them", () => {
  test("counted lines are the perspective's and add up to its totals, the dearest first", () => {
    const lines = countedLines(costs);
    expect(lines.map(({ bearer }) => bearer)).toEqual(["payer", "payer"]);
    for (const id of ["usual", "new"]) {
      const sum = lines.reduce((total, line) => total + line.discounted[id]!, 0);
      expect(sum).toBeCloseTo(costs.total[id]!, 9);
    }
    const sizes = lines.map(({ discounted }) => Math.max(...Object.values(discounted)));
    expect(sizes).toEqual(sizes.toSorted((a, b) => b - a));
  });

  test("differences add up to the difference of the totals and leave the reference out", () => {
    const differences = costDifferences(costs, "usual");
    expect(differences.flatMap(({ difference }) => Object.keys(difference))).toEqual(["new", "new"]);
    const sum = differences.reduce((total, { difference }) => total + difference["new"]!, 0);
    expect(sum).toBeCloseTo(costs.total["new"]! - costs.total["usual"]!, 9);
  });

  test("the table by bearer holds those whom the perspective leaves out as well", () => {
    expect(bearerTable(costs, compared.strategies).rows.map(([bearer]) => bearer)).toEqual(["payer", "employer"]);
  });
});

describe("the effect that decides", () => {
  test("is the account whose totals are the effects", () => {
    expect(effectAccount(document)?.id).toBe("qaly");
    expect(effectName(document)).toEqual({ many: "QALY", each: "QALY", unit: "QALY" });
  });
});

describe("draws as tables", () => {
  test("shares of the quadrants sum to all draws, give or take what rounding takes", () => {
    const [row] = quadrantTable(sure, compared.strategies).rows;
    expect(row![0]).toBe("New pathway");
    const percents = row!.slice(1).map((text) => Number.parseInt(text.replace("under ", "").replace("over ", ""), 10));
    expect(percents.reduce((sum, one) => sum + one, 0)).toBeGreaterThanOrEqual(98);
    expect(percents.reduce((sum, one) => sum + one, 0)).toBeLessThanOrEqual(102);
  });

  test("whether they suffice is said for each threshold", () => {
    const { rows } = sufficiencyTable(sure, compared.strategies);
    expect(rows.map(([threshold]) => threshold)).toEqual(["10,000", "20,000"]);
    for (const row of rows) expect(row.at(-1)).toMatch(/^(enough|tied|more are needed|about [\d,]+ are needed)$/);
  });

  test("the outline of an ellipse is closed and runs round its centre", () => {
    const { ellipse } = sure.pairs[0]!;
    const outline = planeOutline(ellipse);
    expect(outline[0]).toEqual(outline.at(-1));
    const mean = (axis: 0 | 1): number => {
      const values = outline.map((point) => point[axis]);
      return (Math.min(...values) + Math.max(...values)) / 2;
    };
    expect(mean(0)).toBeCloseTo(ellipse!.centre.x, 2);
    expect(planeOutline(null)).toEqual([]);
  });
});

describe("an answer in one line", () => {
  test("says for each question no more than its headline", () => {
    expect(indexLine(document, "compared")).toBe("2 pathways, 1 group, 10 years");
    expect(indexLine(document, "works")).toMatch(/^\+\d\.\d{3} QALY per person$/);
    expect(indexLine(document, "costs")).toMatch(/^[\d,]+ to [\d,]+ EUR per person$/);
    expect(indexLine(document, "worth")).toBe(`${worthLabel(worth.best["10000"]!)}, at 10,000`);
    expect(indexLine(document, "sure")).toMatch(/^Right in (over |under )?\d+% of 200 draws$/);
  });

  test("says that there are no draws where there are none", () => {
    expect(indexLine(answeredDocument(0), "sure")).toBe("No draws yet");
  });

  test("and every question has notes on how it is computed", () => {
    expect(Object.keys(methodNotes)).toEqual(questions.map(({ id }) => id));
  });
});

const worthLabel = (id: string): string => compared.strategies.find((one) => one.id === id)!.label;
