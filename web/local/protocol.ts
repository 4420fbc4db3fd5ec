import type { Finding } from "../../src/errors.ts";
import type { OneWayAnswer } from "../../src/report/one-way.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import type { CaseTexts, Changes, RunProgress } from "../api.ts";
import type { DrawSettings } from "../draw-settings.ts";

/** What the page asks its worker. A question with a higher ticket makes those before it pointless. */
export type Asked =
  | { readonly ask: "open"; readonly texts: CaseTexts }
  | { readonly ask: "answer"; readonly ticket: number; readonly changes: Changes }
  | {
      readonly ask: "run";
      readonly ticket: number;
      readonly changes: Changes;
      readonly settings: DrawSettings;
      /** How many threads share the draws; as many as the browser offers unless given. No number depends on it. */
      readonly threads?: number;
    }
  | { readonly ask: "stop" };

/** What the worker tells the page. */
export type Told =
  | { readonly tell: "ready"; readonly threads: number; readonly hasKernels: boolean }
  | { readonly tell: "document"; readonly ticket: number; readonly document: ResultDocument }
  | { readonly tell: "one way"; readonly ticket: number; readonly answer: OneWayAnswer }
  | { readonly tell: "no one way"; readonly ticket: number; readonly why: string }
  | { readonly tell: "progress"; readonly ticket: number; readonly progress: RunProgress }
  | {
      readonly tell: "refused";
      readonly ticket: number;
      readonly message: string;
      readonly findings: readonly Finding[];
    };
