import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { folderFiles } from "../../src/host/files.ts";
import { oneWayBars, oneWayTable } from "../../src/report/one-way-bars.ts";
import { changedCase } from "../../src/schema/changed-case.ts";
import { oneWaySteps, openStudy, runStudy, type Study } from "../../src/study.ts";
import type { CaseTexts, Changes } from "../../web/api.ts";
import { type Bench, browserPath, startBench, tableCells, textOf, upToDate } from "./browser.ts";
import { askWorker, documentOf } from "./page-worker.ts";

const root = join(import.meta.dirname, "../..");
const published = "scenarios/published/hiv-mono-vs-combo.scenario.yaml";
const price = "Price of the balloon, Swallowed balloon, value";

/** The same study as on the server, with changes as the page makes them. */
function study(changes: Changes = {}): Study {
  const plain = { files: folderFiles(root), path: published };
  const { files, path } = Object.keys(changes).length === 0 ? plain : changedCase(plain, { ...changes });
  return openStudy(files, path);
}

const cheaper: Changes = {
  inputs: { add_on_drug: { fixed: "1500 GBP/year", why: "an offer", source: "invented" } },
};

const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value));

/** The texts of a case as the server gives them. */
async function textsOf(url: string, id: string): Promise<CaseTexts> {
  return (await (await fetch(new URL(`/api/scenarios/${id}/texts`, url))).json()) as CaseTexts;
}

describe.skipIf(browserPath === undefined)("the page computes", () => {
  let bench: Bench;
  beforeAll(async () => {
    bench = await startBench();
  });
  afterAll(() => bench?.close());

  test("the same document as the server, base case and draws, to the bit", async () => {
    const { page, complaints } = await bench.open("/?scenario=hiv-mono-vs-combo");
    const texts = await textsOf(bench.url, "hiv-mono-vs-combo");
    const base = await askWorker(page, texts, { ask: "answer", changes: cheaper });
    expect(base.ready.hasKernels).toBe(true);
    expect(documentOf(base)).toEqual(plain(runStudy(study(cheaper), { draws: 0 })));
    const settings = { draws: 200, seed: "bits", design: "stratified" } as const;
    const there = runStudy(study(cheaper), settings);
    const here = documentOf(await askWorker(page, texts, { ask: "run", changes: cheaper, settings }));
    expect(here.answers.sure!.outcomesHash).toBe(there.answers.sure!.outcomesHash);
    expect(here).toEqual(plain(there));
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test.each([1, 2, 3])("the same draws on %i threads", async (threads) => {
    const { page, complaints } = await bench.open("/?scenario=hiv-mono-vs-combo");
    expect(await page.evaluate(() => crossOriginIsolated)).toBe(true);
    const texts = await textsOf(bench.url, "hiv-mono-vs-combo");
    const settings = { draws: 300, seed: "threads", design: "plain" } as const;
    const here = documentOf(await askWorker(page, texts, { ask: "run", changes: {}, settings, threads }));
    expect(here.answers.sure!.outcomesHash).toBe(runStudy(study(), settings).answers.sure!.outcomesHash);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test.each([
    ["has no WebAssembly", "delete globalThis.WebAssembly;", ""],
    ["has a policy that bars it", "", " 'wasm-unsafe-eval'"],
  ])("the same numbers without kernels where the browser %s", async (_, before, struck) => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    await page.route("**/assets/worker-*.js", async (route) => {
      const response = await route.fetch();
      const headers = response.headers();
      const policy = headers["content-security-policy"]!.replace(struck, "");
      await route.fulfill({
        response,
        headers: { ...headers, "content-security-policy": policy },
        body: `${before}${await response.text()}`,
      });
    });
    const texts = await textsOf(bench.url, "hiv-mono-vs-combo");
    const settings = { draws: 100, seed: "lanes", design: "plain" } as const;
    const heard = await askWorker(page, texts, { ask: "run", changes: {}, settings });
    expect(heard.ready.hasKernels).toBe(false);
    expect(documentOf(heard)).toEqual(plain(runStudy(study(), settings)));
    await page.context().close();
  });

  test("answers as a slider moves: the last value wins, nothing is asked of the server, what moves the answer follows", async () => {
    const { page, complaints } = await bench.open("/?scenario=hiv-mono-vs-combo");
    await page.getByLabel(/^Find one of/).fill("add on drug");
    await page.locator(".found button").first().click();
    await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 60_000 });
    const requests: string[] = [];
    page.on("request", (request) => requests.push(request.url()));
    await page.locator("#input-add_on_drug .field-slider").evaluate((element: HTMLInputElement) => {
      for (let value = 2080; value >= 1500; value -= 20) {
        element.value = String(value);
        element.dispatchEvent(new Event("input", { bubbles: true }));
      }
    });
    const expected = runStudy(study(cheaper), { draws: 0 });
    await page.waitForFunction(
      (text) => document.querySelector(".main-answer")?.textContent === text,
      expected.answers.worth.headline,
      { timeout: 30_000 },
    );
    await upToDate(page);
    await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 30_000 });
    const steps = oneWaySteps(study(cheaper));
    let step = steps.next();
    while (!step.done) step = steps.next();
    const table = oneWayTable(oneWayBars(step.value, "combo", 10_000));
    const [caption] = await page.locator(".one-way caption").allTextContents();
    expect(caption).toMatch(/^Net benefit over .* at 10,000, GBP per person$/);
    expect(await tableCells(page, caption!)).toEqual([table.header, ...table.rows]);
    expect(requests).toEqual([]);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("the demo follows an input to the server's answers, in well under a second on a machine at rest", async () => {
    const { page } = await bench.open("/?scenario=harbour-base");
    await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 100_000 });
    const before = await textOf(page, ".main-answer");
    const start = performance.now();
    await page.getByLabel(price, { exact: true }).fill("1200");
    await page.waitForFunction((text) => document.querySelector(".main-answer")?.textContent !== text, before);
    // machines that test may be loaded many times over
    expect(performance.now() - start).toBeLessThan(10_000);
    await page.context().close();
  });

  test("mistakes are told beside their field as they are made", async () => {
    const { page, complaints } = await bench.open("/?scenario=harbour-base");
    await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 60_000 });
    const field = page.getByLabel(price, { exact: true });
    await field.fill("cheap");
    await page.waitForSelector("#input-device_price .refusal");
    expect(await field.getAttribute("aria-invalid")).toBe("true");
    expect(await textOf(page, ".lead .answer-standing")).toBe("Not computed: invalid quantity cheap EUR");
    // who types keeps the focus
    expect(await field.evaluate((element) => element === document.activeElement)).toBe(true);
    await field.fill("1450");
    await upToDate(page);
    expect(await page.locator("#input-device_price .refusal").count()).toBe(0);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("draws can be made in the browser, cancelled, and are the server's", async () => {
    const { page, complaints } = await bench.open("/?scenario=hiv-mono-vs-combo");
    await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 60_000 });
    await page.locator("#sure").getByLabel("Computed").selectOption("browser");
    const requests: string[] = [];
    page.on("request", (request) => requests.push(request.url()));
    await page.locator("#sure").getByRole("button", { name: "Run 1,000 draws" }).click();
    await page.waitForSelector("#sure canvas", { timeout: 60_000 });
    await upToDate(page);
    const { path } = await textsOf(bench.url, "hiv-mono-vs-combo");
    const there = runStudy(openStudy(folderFiles(root), path), { draws: 1000 });
    expect(await textOf(page, "#sure .headline")).toBe(there.answers.sure!.headline);
    expect(await textOf(page, ".lead .caution")).toContain("Computed in this browser.");
    expect(requests.filter((url) => url.includes("/api/"))).toEqual([]);
    await page.locator(".run-bar").getByLabel("Draws of the next run").selectOption("100000");
    await page.getByRole("button", { name: "Run", exact: true }).click();
    await page.waitForFunction(() => /updating, [1-9][\d,]* of 100,000 draws/.test(document.body.textContent ?? ""));
    await page.getByRole("button", { name: "Cancel" }).first().click();
    await upToDate(page);
    expect(await textOf(page, "#sure .headline")).toBe(there.answers.sure!.headline);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  test("draws are made in the browser where the server is gone, and the page says so", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 60_000 });
    await page.route("**/api/**", (route) => route.abort("connectionrefused"));
    await page.locator("#sure").getByRole("button", { name: "Run 1,000 draws" }).click();
    await page.waitForSelector("#sure canvas", { timeout: 60_000 });
    expect(await textOf(page, ".lead .caution")).toContain("The server does not answer: computed in this browser.");
    await page.context().close();
  });
});

test("the worker's file and nothing else of the page names the libraries of the core", () => {
  const assets = join(root, "dist/web/assets");
  const files = readdirSync(assets).filter((name) => name.endsWith(".js"));
  const holders = files.filter((name) => readFileSync(join(assets, name), "utf8").includes("ConditionalNode"));
  expect(holders.map((name) => name.replace(/-.*/, ""))).toEqual(["worker"]);
});
