import { instantiate } from "../host/instantiate.ts";
import type { ResultDocument } from "../report/result.ts";
import type { RunRequest } from "../schema/run-request.ts";
import { type Progress, type RunOptions, runSteps, type Study } from "../study.ts";
import { askedOptions, askedStudy, checkWork } from "./asked-case.ts";
import type { CaseShelf } from "./case-shelf.ts";
import type { ServerParts } from "./parts.ts";
import { Refusal } from "./problem.ts";

/** Work that was stopped because nobody waits for it any more. */
export class Cancelled extends Error {}

/** Where requests for work take a place: so many at once, no queue behind them. */
export interface RunDesk {
  /**
   * A place for one piece of work; call what comes back to give it up. Throws a busy refusal when all are taken, and
   * `Cancelled` where `signal` says that nobody waits any more.
   */
  place(signal: AbortSignal): Promise<() => void>;
  /** The study of a request. Throws its mistakes. */
  study(request: RunRequest): Study;
  /** How the request wants the study run. Throws a refusal where that is too much work. */
  options(request: RunRequest, study: Study): RunOptions;
  /** Runs a study step by step, with a pause for other requests in between. Throws `Cancelled` once `signal` says so. */
  result(
    study: Study,
    options: RunOptions,
    signal: AbortSignal,
    onProgress?: (progress: Progress) => void,
  ): Promise<ResultDocument>;
}

/** Seconds after which a refused program may ask again. */
const retryAfterSeconds = "2";

/** A desk with all places free. */
export function runDesk(parts: ServerParts, shelf: CaseShelf): RunDesk {
  let taken = 0;
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
      const options = { ...askedOptions(request), instantiate };
      checkWork(study, options, parts.limits);
      return options;
    },
    async result(study, options, signal, onProgress) {
      const steps = runSteps(study, options);
      for (;;) {
        await parts.pause();
        if (signal.aborted) throw new Cancelled("nobody waits for this run");
        const step = steps.next();
        if (step.done) return step.value;
        onProgress?.(step.value);
      }
    },
  };
}
