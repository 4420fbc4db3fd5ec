import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { once } from "node:events";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";

const project = join(import.meta.dirname, "../..");
const places = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/** Where this machine has a browser; undefined where it has none. */
export const browserPath: string | undefined = [process.env["CHROMIUM"] ?? "", ...places].find((path) =>
  existsSync(path),
);

if (browserPath === undefined) console.warn("no browser on this machine: the page's own tests are skipped");

/** A browser and the server with the project's cases, until closed. */
export interface Bench {
  readonly url: string;
  /**
   * A page that has loaded an address below the server's; what it complains of, and what it asks elsewhere for, is kept
   * in `complaints`.
   */
  open(path: string, options?: BrowserContextOptions): Promise<OpenPage>;
  close(): Promise<void>;
}

/** A page with everything that went wrong on it so far. */
export interface OpenPage {
  readonly page: Page;
  readonly complaints: readonly string[];
}

/** Starts both, the server as a process of its own over a case root; prepares the build where there is none. */
export async function startBench(root = project): Promise<Bench> {
  if (!existsSync(join(project, "dist/web/index.html"))) {
    const done = spawnSync(process.execPath, [join(project, "src/setup.mjs")], { cwd: project });
    if (done.status !== 0) throw new Error(`the project does not build: ${done.stderr}`);
  }
  const { server, url } = await served(root);
  const browser = await launched();
  return {
    url,
    async open(path, options = {}) {
      const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
      const page = await context.newPage();
      const complaints: string[] = [];
      page.on("console", (message) => {
        if (message.type() === "error" || message.type() === "warning") complaints.push(message.text());
      });
      page.on("pageerror", (error) => complaints.push(error.message));
      page.on("request", (request) => {
        if (!request.url().startsWith(url)) complaints.push(`asks for ${request.url()}`);
      });
      await page.goto(new URL(path, url).href);
      await page.waitForSelector(".main-answer", { timeout: 60_000 });
      return { page, complaints };
    },
    async close() {
      await browser.close();
      const ended = once(server, "exit");
      server.kill("SIGTERM");
      await ended;
    },
  };
}

async function served(root: string): Promise<{ readonly server: ChildProcess; readonly url: string }> {
  const server = spawn(
    process.execPath,
    [join(project, "src/cli/steelyard.mjs"), "serve", "--port", "0", "--root", root],
    {
      cwd: project,
      stdio: ["ignore", "pipe", "ignore"],
    },
  );
  let said = "";
  for await (const chunk of server.stdout) {
    said += String(chunk);
    const url = /listens on (\S+)/.exec(said)?.[1];
    if (url !== undefined) return { server, url };
  }
  throw new Error(`the server does not start: ${said}`);
}

function launched(): Promise<Browser> {
  return chromium.launch({
    ...(browserPath === undefined ? {} : { executablePath: browserPath }),
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

/** Waits until the answers on a page are those of the inputs in its drawer. */
export async function upToDate(page: Page): Promise<void> {
  await page.waitForSelector(".lead:not(.stale)", { timeout: 110_000 });
}

/** The text of an element, with single spaces. */
export async function textOf(page: Page, selector: string): Promise<string> {
  return ((await page.locator(selector).first().textContent()) ?? "").replace(/\s+/g, " ").trim();
}

/** The cells of the table under a caption, row by row, header first; none where there is no such table. */
export function tableCells(page: Page, caption: string): Promise<readonly (readonly string[])[]> {
  return page.evaluate((title) => {
    const table = [...document.querySelectorAll("table")].find((one) => one.caption?.textContent?.trim() === title);
    const rows = [...(table?.querySelectorAll("tr") ?? [])];
    return rows.map((row) => [...row.querySelectorAll("th, td")].map((cell) => (cell.textContent ?? "").trim()));
  }, caption);
}
