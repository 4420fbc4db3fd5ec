import type { PoolRun } from "../host/run-pool.ts";
import { usualThreads } from "../host/usual-threads.ts";
import type { ResultDocument } from "../report/result.ts";
import type { RunRequest } from "../schema/run-request.ts";
import { drawsOf, type Progress, runBase } from "../study.ts";
import { askedOptions, askedStudy, checkWork } from "./asked-case.ts";
import type { CaseShelf, OpenedCase } from "./case-shelf.ts";
import type { ServerParts } from "./parts.ts";
import { Refusal } from "./problem.ts";

/** Work that was stopped because nobody waits for it any more. */
export class Cancelled extends Error {}

/** Where requests for work take a place, so many at once and no queue behind them, and are handed to threads. */
export interface RunDesk {
  /**
   * A place for one piece of work; call what comes back to give it up. Throws a busy refusal when all are taken, and
   * `Cancelled` where `signal` says that nobody waits any more.
   */
  place(signal: AbortSignal): Promise<() => void>;
  /** The study of a request. Throws its mistakes. */
  study(request: RunRequest): OpenedCase;
  /** How the request wants the study run. Throws a refusal where that is too much work. */
  options(request: RunRequest, study: OpenedCase): PoolRun["options"];
  /** The base case of a request, run at once and not on the threads: for a server that nobody asks yet. Throws its mistakes. */
  answerHere(request: RunRequest): ResultDocument;
  /** Runs a study on the threads of the pool. Throws `Cancelled` once `signal` says so. */
  result(
    study: OpenedCase,
    options: PoolRun["options"],
    signal: AbortSignal,
    onProgress?: (progress: Progress) => void,
  ): Promise<ResultDocument>;
}

/** Seconds after which a refused program may ask again. */
const retryAfterSeconds = "2";

/** A desk with all places free. */
export function runDesk(parts: ServerParts, shelf: CaseShelf): RunDesk {
  let taken = 0;
  // of cases as they are on the shelf: the same case has the same answer, so it is found once
  const answered = new WeakMap<OpenedCase, ResultDocument>();
  return {
    async place(signal) {
      if (taken >= parts.limits.places) {
        const detail = `${parts.limits.places} runs are under way; ask again in ${retryAfterSeconds} seconds`;
        throw new Refusal("busy", detail, { headers: { "retry-after": retryAfterSeconds } });
      }
      taken += 1;
      let isHeld = true;
      const leave = (): void => {
        if (isHeld) taken -= 1;
        isHeld = false;
      };
      // who has gone meanwhile is noticed before anything is read for them
      await parts.pause();
      if (!signal.aborted) return leave;
      leave();
      throw new Cancelled("nobody waits for this request");
    },
    study: (request) => askedStudy(request, parts.files(), shelf),
    options(request, study) {
      const options = askedOptions(request);
      checkWork(study, options, parts.limits);
      return options;
    },
    answerHere(request) {
      const study = askedStudy(request, parts.files(), shelf);
      const document = runBase(study);
      answered.set(study, document);
      return document;
    },
    async result(study, options, signal, onProgress) {
      const isBase = drawsOf(study, options) === 0 && !options.trace;
      const known = isBase ? answered.get(study) : undefined;
      if (known !== undefined) return known;
      const found = await parts.pool.run({
        study,
        copy: study.copy,
        options,
        threads: usualThreads(study, options),
        signal,
        ...(onProgress === undefined ? {} : { onProgress }),
      });
      if (found === null) throw new Cancelled("nobody waits for this run");
      if (isBase) answered.set(study, found.document);
      return found.document;
    },
  };
}
