import { readdirSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import type { ResultDocument } from "../../src/report/result.ts";
import type { CaseTexts, Changes } from "../../web/api.ts";
import type { DrawSettings } from "../../web/draw-settings.ts";
import type { Told } from "../../web/local/protocol.ts";

const root = join(import.meta.dirname, "../..");

/** What a worker of the page's own file says to one question about a case, and what it said when it was ready. */
interface Heard {
  readonly ready: Extract<Told, { tell: "ready" }>;
  readonly last: Told;
}

interface Question {
  readonly ask: "answer" | "run";
  readonly changes: Changes;
  readonly settings?: DrawSettings;
  readonly threads?: number;
}

/** Starts the page's worker by hand on a page of the server's and asks it one thing. */
export async function askWorker(page: Page, texts: CaseTexts, question: Question): Promise<Heard> {
  const name = readdirSync(join(root, "dist/web/assets")).find((file) => file.startsWith("worker-"));
  return page.evaluate(
    ({ url, given, asked }) =>
      new Promise<Heard>((resolve, reject) => {
        const worker = new Worker(url, { type: "module" });
        let ready: Heard["ready"];
        worker.onerror = (event) => reject(new Error(event.message));
        worker.onmessage = ({ data }: MessageEvent<Told>) => {
          if (data.tell === "ready") {
            ready = data;
            worker.postMessage({ ticket: 1, ...asked });
          } else if (data.tell === "document" || data.tell === "refused") {
            worker.terminate();
            resolve({ ready, last: data });
          }
        };
        worker.postMessage({ ask: "open", texts: given });
      }),
    { url: `/assets/${name}`, given: texts, asked: question },
  );
}

/** The document a worker told. */
export function documentOf({ last }: Heard): ResultDocument {
  if (last.tell !== "document") throw new Error(`refused: ${JSON.stringify(last)}`);
  return last.document;
}
