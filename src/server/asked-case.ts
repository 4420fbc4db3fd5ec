import { type Finding, finding, inputError } from "../errors.ts";
import type { PoolRun } from "../host/run-pool.ts";
import { runSize } from "../report/run-size.ts";
import { caseTexts, layeredFiles, sentFiles } from "../schema/case-texts.ts";
import { changedCase } from "../schema/changed-case.ts";
import { bundleFiles, type FileSource } from "../schema/files.ts";
import { beginning } from "../schema/json-body.ts";
import { nearestNames } from "../schema/nearest.ts";
import { type RunRequest, requestFile, requestPlace } from "../schema/run-request.ts";
import type { Study } from "../study.ts";
import type { CaseShelf, OpenedCase } from "./case-shelf.ts";
import type { Limits } from "./parts.ts";
import { Refusal } from "./problem.ts";

/** A scenario file of a case. */
export interface ScenarioFile {
  readonly id: string;
  readonly about: string | null;
  /** The scenario it extends, as it names it. */
  readonly extends: string | null;
  readonly path: string;
}

/** All scenarios of a case, by path. */
export function scenarioFiles(files: FileSource, shelf: CaseShelf): readonly ScenarioFile[] {
  return files
    .list()
    .filter((path) => path.endsWith(".scenario.yaml"))
    .map((path) => {
      const { scenario, ...said } = shelf.title(files, path);
      return { id: scenario, ...said, path };
    });
}

/** The path of a scenario by its id. Throws a refusal where there is none, duplicate-name where there are two. */
export function scenarioPath(files: FileSource, shelf: CaseShelf, id: string): string {
  const all = scenarioFiles(files, shelf);
  const [found, other] = all.filter((one) => one.id === id);
  if (found === undefined) {
    const known = all.map((one) => one.id);
    const findings = [
      finding(requestPlace("scenario"), "unknown-reference", "scenario", id, nearestNames(id, known), known),
    ];
    throw new Refusal("unknown", findings[0]!.message, { findings });
  }
  if (other !== undefined) throw inputError(beginning(other.path), "duplicate-name", id, found.path);
  return found.path;
}

/** The study a request asks for: its scenario, from its bundle or the case, with its changes laid over it. */
export function askedStudy(request: RunRequest, root: FileSource, shelf: CaseShelf): OpenedCase {
  const below = caseTexts(root);
  const sent = request.files === undefined ? bundleFiles(new Map()) : sentFiles(request.files, requestFile);
  const isSent = scenarioFiles(sent, shelf).some(({ id }) => id === request.scenario);
  const path = scenarioPath(isSent ? sent : below, shelf, request.scenario);
  const files = layeredFiles(sent, below);
  if (request.changes === undefined) return shelf.open(files, path);
  const changed = changedCase({ files, path }, request.changes);
  return shelf.open(changed.files, changed.path);
}

/** What a request says about the run. */
export function askedOptions({ draws, seed, design, trace }: RunRequest): PoolRun["options"] {
  return {
    ...(draws === undefined ? {} : { draws }),
    ...(seed === undefined ? {} : { seed: String(seed) }),
    ...(design === undefined ? {} : { design }),
    ...(trace === undefined ? {} : { trace }),
  };
}

/** Refuses a run beyond the limits. */
export function checkWork({ program, expansion }: Study, options: PoolRun["options"], limits: Limits): void {
  const { draws, cells, cellDraws, kept, traced } = runSize(program, expansion, options.draws);
  const findings: Finding[] = [];
  const bound = (path: string, what: string, value: number, limit: number): void => {
    if (value > limit)
      findings.push(finding(requestPlace(path), "out-of-range", what, String(value), `at most ${limit}`));
  };
  bound("draws", "draws", draws, limits.draws);
  bound("scenario", "states x cycles x strategies x groups", cells, limits.cells);
  bound("draws", "states x cycles x strategies x groups x draws", cellDraws, limits.cellDraws);
  bound("draws", "strategies x accounts x draws", kept, limits.kept);
  if (options.trace) bound("trace", "states x cycles x strategies of a trace", traced, limits.traced);
  if (findings.length > 0) throw new Refusal("too-much-work", findings[0]!.message, { findings });
}
