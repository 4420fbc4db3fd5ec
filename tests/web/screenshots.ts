import { mkdirSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { questions } from "../../src/report/result.ts";
import { type Bench, startBench, upToDate } from "./browser.ts";

const views = [
  { name: "1440-light", colorScheme: "light", viewport: { width: 1440, height: 900 } },
  { name: "1440-dark", colorScheme: "dark", viewport: { width: 1440, height: 900 } },
  { name: "390-light", colorScheme: "light", viewport: { width: 390, height: 844 } },
  { name: "390-dark", colorScheme: "dark", viewport: { width: 390, height: 844 } },
] as const;

/** Pictures of every part of the page, of a run under way, of a refusal, of the sheets and of paper, into a folder. */
export async function takeScreenshots(folder: string): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const bench = await startBench();
  try {
    for (const view of views) await takeView(bench, folder, view);
    await takePaper(bench, folder);
  } finally {
    await bench.close();
  }
}

async function takeView(bench: Bench, folder: string, view: (typeof views)[number]): Promise<void> {
  const { name, ...options } = view;
  // the policy is stepped round only to take fixed bars out of pictures of parts
  const { page } = await bench.open("/?scenario=harbour-base", { ...options, bypassCSP: true });
  const take = async (part: string): Promise<void> => {
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: join(folder, `${name}-${part}.png`) });
  };
  await take("first");
  await page.getByRole("button", { name: "Run 1,000 draws" }).first().click();
  await page.waitForFunction(() => /updating, [1-9][\d,]* of/.test(document.body.textContent ?? ""));
  await take("running");
  await page.waitForSelector("#sure canvas", { timeout: 120_000 });
  await upToDate(page);
  await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 120_000 });
  await take("drawn");
  await page.evaluate(() => document.querySelector("#worth")?.scrollIntoView());
  await page.screenshot({ path: join(folder, `${name}-readme.png`) });
  await takeParts(page, folder, name);
  if (options.viewport.width < 1100) {
    await page.getByRole("button", { name: "Questions" }).click();
    await take("questions");
    await page.keyboard.press("Escape");
    await page.getByRole("button", { name: "What if" }).click();
  }
  await page.getByLabel("Price of the balloon, Swallowed balloon, value", { exact: true }).fill("cheap");
  await page.getByLabel(/^Find one of/).fill("diabetes");
  await take("search");
  await page.getByRole("button", { name: "Run", exact: true }).click();
  await page.waitForSelector(".refusal-summary");
  await take("refused");
  await page.context().close();
}

/** The answers as they come to paper: A4 between its margins, each question by itself. */
async function takePaper(bench: Bench, folder: string): Promise<void> {
  const { page } = await bench.open("/?scenario=harbour-base", { viewport: { width: 1440, height: 900 } });
  await page.getByRole("button", { name: "Run 1,000 draws" }).first().click();
  await page.waitForSelector("#sure canvas", { timeout: 120_000 });
  await upToDate(page);
  await page.waitForSelector(".one-way:not(.old) canvas", { timeout: 120_000 });
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 673, height: 950 });
  await page.waitForTimeout(300);
  await page.screenshot({ path: join(folder, "paper-first.png") });
  for (const { id } of questions) await page.locator(`#${id}`).screenshot({ path: join(folder, `paper-${id}.png`) });
  await page.context().close();
}

async function takeParts(page: Page, folder: string, name: string): Promise<void> {
  const style = await page.addStyleTag({ content: ".page-head, .bottom-bar { visibility: hidden; }" });
  for (const { id } of questions) await page.locator(`#${id}`).screenshot({ path: join(folder, `${name}-${id}.png`) });
  for (const [view, label] of [
    ["stacked", "Stacked"],
    ["differences", /^Differences from/],
  ] as const) {
    await page.locator("#costs").getByLabel(label).check();
    const picture = page.locator("#costs .picture").first();
    await picture.screenshot({ path: join(folder, `${name}-${view}.png`) });
  }
  await page.locator("#worth summary").last().click();
  await page
    .locator("#worth details")
    .last()
    .screenshot({ path: join(folder, `${name}-how-computed.png`) });
  await style.evaluate((element) => (element as HTMLElement).remove());
}
