import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { AxeResults } from "axe-core";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type Bench, browserPath, startBench, upToDate } from "./browser.ts";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** What axe finds wrong, each with the elements it is wrong with. */
async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe);
  const results = await page.evaluate<AxeResults>("axe.run(document, { resultTypes: ['violations'] })");
  return results.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`);
}

describe.skipIf(browserPath === undefined)("the page can be used by everybody", () => {
  let bench: Bench;
  beforeAll(async () => {
    bench = await startBench();
  });
  afterAll(() => bench?.close());

  test.each([
    ["light", 1440],
    ["dark", 1440],
    ["light", 390],
    ["dark", 390],
  ] as const)(
    "axe finds nothing wrong, %s, %i px, answers with draws, a field refused, a fold open",
    async (scheme, width) => {
      const { page } = await bench.open("/?scenario=hiv-mono-vs-combo", {
        colorScheme: scheme,
        viewport: { width, height: 900 },
        bypassCSP: true,
      });
      await page.getByRole("button", { name: "Run 1,000 draws" }).first().click();
      await page.waitForSelector("#sure canvas", { timeout: 60_000 });
      await upToDate(page);
      await page.waitForSelector(".one-way:not(.old) table", { timeout: 60_000, state: "attached" });
      // a table that is wider than its frame is noticed in the next frames
      await page.evaluate(() => new Promise((drawn) => setTimeout(drawn, 200)));
      await page.locator("#worth details summary").last().click();
      expect(await violations(page)).toEqual([]);
      if (width < 1100) await page.getByRole("button", { name: "What if" }).click();
      await page.locator(".what-if input[type=text]").first().fill("wrong");
      await page.getByRole("button", { name: "Run", exact: true }).click();
      await page.waitForSelector(".refusal-summary");
      // stale answers are faded on purpose and told to be stale in words
      await page.addStyleTag({ content: ".stale *, .stale-list * { opacity: 1 !important; }" });
      expect(await violations(page)).toEqual([]);
      await page.context().close();
    },
  );

  test("the keyboard reaches the answers, an input and the run, and the focus is always seen", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    await page.keyboard.press("Tab");
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe("Skip to the answers");
    await page.keyboard.press("Enter");
    expect(await page.evaluate(() => document.activeElement?.id)).toBe("answers");
    const reached = new Set<string>();
    for (let i = 0; i < 80; i++) {
      await page.keyboard.press("Tab");
      const focus = await page.evaluate(() => {
        const element = document.activeElement as HTMLElement;
        const label = element.closest("label")?.querySelector("span");
        const styles = [element, label].map((one) => (one ? getComputedStyle(one).outlineStyle : "none"));
        return {
          tag: element.tagName,
          text: element.textContent?.trim() ?? "",
          seen: styles.some((one) => one !== "none"),
        };
      });
      if (focus.tag === "BODY") break;
      expect(`${focus.tag} ${focus.text}: ${focus.seen}`).toBe(`${focus.tag} ${focus.text}: true`);
      reached.add(focus.tag);
    }
    expect([...reached].sort()).toEqual(expect.arrayContaining(["BUTTON", "INPUT", "SUMMARY"]));
    await page.context().close();
  });

  test("every picture has words, and every table a caption and headers with a scope", async () => {
    const { page } = await bench.open("/?scenario=hiv-mono-vs-combo");
    const silent = await page.evaluate(
      () =>
        [
          ...[...document.querySelectorAll("canvas")].filter(
            (canvas) => canvas.getAttribute("role") !== "img" || (canvas.getAttribute("aria-label") ?? "").length < 40,
          ),
          ...[...document.querySelectorAll("table")].filter(
            (table) => table.caption === null || [...table.querySelectorAll("th")].some((head) => head.scope === ""),
          ),
        ].length,
    );
    expect(silent).toBe(0);
    await page.context().close();
  });

  test("text is at most 72 characters wide in sentences", async () => {
    const { page } = await bench.open("/?scenario=harbour-base");
    const widest = await page.evaluate(() =>
      Math.max(
        ...[...document.querySelectorAll<HTMLElement>(".headline, .how-sure, .about, .picture-note")].map((element) => {
          const zero = document.createElement("span");
          zero.textContent = "0".repeat(72);
          element.append(zero);
          const limit = zero.getBoundingClientRect().width;
          zero.remove();
          return element.getBoundingClientRect().width / limit;
        }),
      ),
    );
    expect(widest).toBeLessThanOrEqual(1.01);
    await page.context().close();
  });
});
