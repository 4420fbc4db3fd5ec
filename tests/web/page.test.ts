import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { answerTables } from "../../src/report/answer-tables.ts";
import { questions, type ResultDocument } from "../../src/report/result.ts";
import { runCommand } from "../cli/run-command.ts";
import { checkedFiles } from "../report/document.ts";
import { type Bench, browserPath, startBench, tableCells, textOf, upToDate } from "./browser.ts";

const demo = "scenarios/harbour/base.scenario.yaml";
const published = "scenarios/published/hiv-mono-vs-combo.scenario.yaml";
const price = "Price of the balloon, Swallowed balloon, value";

async function fromCommandLine(...argv: readonly string[]): Promise<ResultDocument> {
  const { code, out, err } = await runCommand("run", ...argv, "--json");
  expect(err).toBe("");
  expect(code).toBe(0);
  return JSON.parse(out) as ResultDocument;
}

async function fromServer(url: string, body: object): Promise<ResultDocument> {
  const response = await fetch(new URL("/api/runs", url), {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  expect(response.status).toBe(200);
  return (await response.json()) as ResultDocument;
}

describe.skipIf(browserPath === undefined)("the page", () => {
  let bench: Bench;
  beforeAll(async () => {
    bench = await startBench();
  });
  afterAll(() => bench?.close());

  test("says what the command line says, sentence by sentence and cell by cell, and complains of nothing", async () => {
    const { page, complaints } = await bench.open("/?scenario=harbour-base");
    const document = await fromCommandLine(demo, "--draws", "0");
    expect(await textOf(page, ".main-answer")).toBe(document.answers.worth.headline);
    for (const { id } of questions) {
      if (id === "sure") continue;
      expect(await textOf(page, `#${id} .headline`)).toBe(document.answers[id].headline);
      for (const { title, header, rows } of answerTables(document, id)) {
        // the page draws the use of resources with bars of its own
        if (title === "What is used for 1,000 people") continue;
        expect(await tableCells(page, title)).toEqual([header, ...rows]);
      }
    }
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("opens the first scenario that extends no other", async () => {
    const { page } = await bench.open("/");
    const document = await fromCommandLine(demo, "--draws", "0");
    expect(await textOf(page, ".main-answer")).toBe(document.answers.worth.headline);
    await page.context().close();
  });

  test("tells within the first screen what the answer is, how sure, that data are invented, and the caution", async () => {
    for (const viewport of [
      { width: 1440, height: 900 },
      { width: 390, height: 844 },
    ]) {
      const { page } = await bench.open("/?scenario=harbour-base", { viewport });
      if (viewport.width < 1100) {
        // the longest the sentences get: the answer with draws
        await page.getByRole("button", { name: "Run 1,000 draws" }).first().click();
        await page.waitForSelector("#sure canvas", { timeout: 110_000 });
        await upToDate(page);
        await page.evaluate(() => scrollTo(0, 0));
      }
      for (const selector of [".main-answer", ".how-sure", ".mark-invented", ".caution p:first-child"]) {
        const box = await page.locator(selector).first().boundingBox();
        expect(box!.y + box!.height).toBeLessThanOrEqual(viewport.height - (viewport.width < 1100 ? 52 : 0));
      }
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true);
      await page.context().close();
    }
  });

  test("runs draws and then says how sure, as the command line does", async () => {
    const { page, complaints } = await bench.open("/?scenario=hiv-mono-vs-combo");
    expect(await textOf(page, ".index-list li:last-child .index-answer")).toBe("No draws yet");
    await page.getByRole("button", { name: "Run 1,000 draws" }).first().click();
    await page.waitForSelector("#sure canvas", { timeout: 60_000 });
    await upToDate(page);
    const document = await fromCommandLine(published, "--draws", "1000");
    expect(await textOf(page, "#sure .headline")).toBe(document.answers.sure?.headline);
    expect(await textOf(page, "#worth .headline")).toBe(document.answers.worth.headline);
    for (const { title, header, rows } of answerTables(document, "sure"))
      expect(await tableCells(page, title)).toEqual([header, ...rows]);
    expect(await textOf(page, "#sure .facts dd:last-child >> nth=-1")).toBeTruthy();
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("draws come from the seed and the design that are chosen, and a wrong seed is refused beside its field", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    const drawer = page.locator(".run-bar");
    await drawer.getByLabel("Draws of the next run").selectOption("1000");
    await drawer.locator("summary").click();
    await drawer.getByLabel("Design").selectOption("stratified");
    await drawer.getByLabel("Seed").fill("first/second");
    await page.getByRole("button", { name: "Run", exact: true }).click();
    await page.waitForSelector(".refusal-summary");
    expect(await drawer.getByLabel("Seed").getAttribute("aria-invalid")).toBe("true");
    expect(await textOf(page, ".run-bar .refusal")).toMatch(/first\/second/);
    await drawer.getByLabel("Seed").fill("second");
    await page.getByRole("button", { name: "Run", exact: true }).click();
    await page.waitForSelector("#sure canvas", { timeout: 60_000 });
    await upToDate(page);
    const document = await fromCommandLine(published, "--draws", "1000", "--seed", "second", "--design", "stratified");
    expect(await textOf(page, "#sure .headline")).toBe(document.answers.sure?.headline);
    const other = await fromCommandLine(published, "--draws", "1000", "--seed", "second");
    expect(document.answers.sure?.headline).not.toBe(other.answers.sure?.headline);
    for (const { title, header, rows } of answerTables(document, "sure"))
      expect(await tableCells(page, title)).toEqual([header, ...rows]);
    expect(await drawer.getByLabel("Seed").inputValue()).toBe("second");
    await page.context().close();
  });

  test("answers that come from base values say so where draws were run, and only there", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    expect(await page.locator(".basis-note").count()).toBe(0);
    await page.getByRole("button", { name: "Run 1,000 draws" }).first().click();
    await page.waitForSelector("#sure canvas", { timeout: 60_000 });
    const said = await page
      .locator("section.answer")
      .evaluateAll((all) => all.map((one) => [one.id, one.querySelector(".basis-note") !== null]));
    expect(said).toEqual([
      ["compared", true],
      ["works", true],
      ["costs", true],
      ["worth", false],
      ["sure", false],
    ]);
    await page.context().close();
  });

  test("costs can be seen stacked to their total", async () => {
    const { page } = await bench.open("/?scenario=harbour-base");
    await page.locator("#costs").getByLabel("Stacked").check();
    const document = await fromCommandLine(demo, "--draws", "0");
    const said = await page.locator("#costs .picture canvas").first().getAttribute("aria-label");
    for (const { label } of document.answers.compared.strategies) expect(said).toContain(`${label}: `);
    const [, amounts = ""] = /Swallowed balloon: ([^.]*)\./.exec(said ?? "") ?? [];
    const sum = [...amounts.matchAll(/ ([\d,]+)(?=, |$)/g)].reduce(
      (total, [, amount = ""]) => total + Number(amount.replaceAll(",", "")),
      0,
    );
    // eight amounts, each rounded to whole units
    expect(Math.abs(sum - document.answers.costs.total["swallowed"]!)).toBeLessThan(5);
    await page.context().close();
  });

  test("an input changed changes the answers, which are those of the server for the same change", async () => {
    const { page, complaints } = await bench.open("/?scenario=harbour-base");
    const before = await textOf(page, ".main-answer");
    await page.getByLabel(price, { exact: true }).fill("1200");
    await page.waitForFunction((text) => document.querySelector(".main-answer")?.textContent !== text, before);
    await upToDate(page);
    const changed = await fromServer(bench.url, {
      scenario: "harbour-base",
      draws: 0,
      changes: {
        inputs: { device_price: { by: { swallowed: { fixed: "1200 EUR", why: "an offer", source: "invented" } } } },
      },
    });
    expect(await textOf(page, ".main-answer")).toBe(changed.answers.worth.headline);
    for (const { title, header, rows } of [...answerTables(changed, "costs"), ...answerTables(changed, "worth")])
      expect(await tableCells(page, title)).toEqual([header, ...rows]);
    expect(await textOf(page, ".run-count span")).toBe("1 input changed");
    await page.getByRole("button", { name: "Reset all" }).click();
    await page.waitForFunction((text) => document.querySelector(".main-answer")?.textContent === text, before);
    await upToDate(page);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("draws made before a change are told apart from the answers after it, until they are run again", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    await page.getByRole("button", { name: "Run 1,000 draws" }).first().click();
    await page.waitForSelector("#sure canvas", { timeout: 60_000 });
    await upToDate(page);
    const [drawn, sure] = [await textOf(page, ".main-answer"), await textOf(page, "#sure .headline")];
    await page.locator(".what-if input[type=text]").first().fill("9000");
    await page.waitForSelector("#sure.stale");
    await upToDate(page);
    expect(await textOf(page, "#sure .answer-standing")).toBe("Draws from before the change");
    expect(await textOf(page, "#sure .headline")).toBe(sure);
    expect(await textOf(page, ".how-sure")).toMatch(/^These are base values\. /);
    await page.getByRole("button", { name: "Run", exact: true }).click();
    await page.waitForSelector("#sure:not(.stale)", { timeout: 60_000 });
    await upToDate(page);
    expect(await textOf(page, "#sure .headline")).not.toBe(sure);
    await page.getByRole("button", { name: "Reset all" }).click();
    await page.waitForFunction(() => document.querySelector(".how-sure")?.textContent?.startsWith("These are base"));
    expect(await textOf(page, ".main-answer")).not.toBe(drawn);
    await page.context().close();
  });

  test("a wrong value is refused with its reason beside it, and the answers stay", async () => {
    const { page, complaints } = await bench.open("/?scenario=harbour-base");
    const before = await textOf(page, ".main-answer");
    await page.getByLabel(price, { exact: true }).fill("cheap");
    await page.getByRole("button", { name: "Run", exact: true }).click();
    await page.waitForSelector(".refusal-summary");
    const field = page.getByLabel(price, { exact: true });
    expect(await field.getAttribute("aria-invalid")).toBe("true");
    const said = "invalid quantity cheap EUR; write a number and a unit, such as 3% / year, 1450 EUR or 25 kg/m2";
    const note = await field.getAttribute("aria-describedby");
    expect(await page.locator(`[id="${note}"]`).textContent()).toBe(said);
    expect(await textOf(page, ".refusal-summary li")).toBe(`Price of the balloon ${said}`);
    expect(await textOf(page, ".main-answer")).toBe(before);
    await field.fill("1450");
    await upToDate(page);
    await page.waitForSelector(".refusal-summary", { state: "detached" });
    // browsers report answers of 422 by themselves
    expect(complaints.filter((text) => !text.includes("422"))).toEqual([]);
    await page.context().close();
  });

  test("finds any input by its words, pins it, and edits it in the form of its evidence", async () => {
    const { page } = await bench.open("/?scenario=harbour-base");
    await page.getByLabel(/^Find one of/).fill("sickness rescue");
    await page.getByRole("button", { name: "Sickness needs a rescue visit" }).click();
    const events = page.getByLabel("Sickness needs a rescue visit, events");
    await events.fill("4000");
    await page.getByRole("button", { name: "Run", exact: true }).click();
    await page.waitForSelector(".refusal-summary");
    expect(await textOf(page, "#input-rescue_share .refusal")).toMatch(/^4000 events of \d+; /);
    await page.context().close();
  });

  test("a run can be cancelled, and the answers from before stay", async () => {
    const { page, complaints } = await bench.open("/?scenario=harbour-base");
    const before = await textOf(page, ".main-answer");
    await page.getByRole("button", { name: "Run 10,000 draws" }).first().click();
    await page.waitForFunction(() => /updating, [\d,]+ of 10,000 draws/.test(document.body.textContent ?? ""));
    await page.getByRole("button", { name: "Cancel" }).first().click();
    await upToDate(page);
    expect(await textOf(page, ".main-answer")).toBe(before);
    expect(await page.locator("[role=status]").last().textContent()).toBe(
      "Cancelled; the answers are those from before",
    );
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("checks of the scenario that a change breaks are named, and can be left out in plain sight", async () => {
    const root = mkdtempSync(join(tmpdir(), "steelyard-"));
    const files = checkedFiles();
    for (const path of files.list()) {
      mkdirSync(dirname(join(root, path)), { recursive: true });
      writeFileSync(join(root, path), files.read(path) ?? "");
    }
    const own = await startBench(root);
    try {
      const { page } = await own.open("/");
      await page.getByLabel("Price of the device, value", { exact: true }).fill("9000");
      await page.getByRole("button", { name: "Run", exact: true }).click();
      await page.waitForSelector(".refusal-summary");
      expect(await textOf(page, ".refusal-summary li")).toMatch(/expectation within_budget failed/);
      await page.getByRole("button", { name: "Run without it" }).click();
      await upToDate(page);
      expect(await textOf(page, ".lead .caution p:last-child")).toBe(
        "Run without the scenario's own checks: within_budget.",
      );
    } finally {
      await own.close();
      rmSync(root, { recursive: true });
    }
  });

  test("on a narrow page index and drawer are sheets that open, close and give the focus back", async () => {
    const { page, complaints } = await bench.open("/?scenario=hiv-mono-vs-combo", {
      viewport: { width: 390, height: 844 },
    });
    const questionsButton = page.getByRole("button", { name: "Questions" });
    await questionsButton.click();
    await page
      .getByRole("dialog", { name: "The questions" })
      .getByRole("link", { name: /Is it worth it/ })
      .click();
    await page.waitForFunction(() => location.hash === "#worth" && document.querySelector("dialog") === null);
    await page.getByRole("button", { name: "What if" }).press("Enter");
    await page.getByRole("dialog", { name: "What if" }).waitFor();
    await page.keyboard.press("Escape");
    await page.waitForFunction(() => document.querySelector("dialog") === null);
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe("What if");
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("another scenario can be chosen, and its address opens it again", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    await page.getByLabel("Scenario").selectOption("illness-death-rates-to-probabilities");
    await page.waitForFunction(
      () => document.querySelector("h1")?.textContent === "illness-death-rates-to-probabilities",
    );
    expect(new URL(page.url()).searchParams.get("scenario")).toBe("illness-death-rates-to-probabilities");
    await page.context().close();
  });

  test("on paper there is no drawer, every question begins a page, and cautions stand at the foot", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo", { colorScheme: "dark" });
    await page.emulateMedia({ media: "print" });
    expect(await page.locator(".drawer").isVisible()).toBe(false);
    expect(await page.locator(".draw-buttons").first().isVisible()).toBe(false);
    expect(await page.locator("#worth > .caution").isVisible()).toBe(true);
    expect(await page.locator("#worth .facts").isVisible()).toBe(true);
    const style = (name: string): Promise<string> =>
      page.evaluate((property) => getComputedStyle(document.documentElement).getPropertyValue(property), name);
    expect((await style("--ink")).trim()).toBe("#1B211F");
    expect(await page.locator("#worth").evaluate((section) => getComputedStyle(section).breakBefore)).toBe("page");
    const pdf = await page.pdf({ format: "A4" });
    expect((pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length).toBeGreaterThanOrEqual(6);
    await page.context().close();
  });
});
