import { stateLabel } from "../src/compile/expand.ts";
import type { Traced } from "../src/engine/traced.ts";
import { type Finding, InputError } from "../src/errors.ts";
import { bundleFiles, type FileSource } from "../src/schema/files.ts";
import { baseRow, openStudy, runReference, type Study } from "../src/study.ts";

const plain = {
  strategies: "strategies: { s: { label: S } }",
  cycle: "cycle: 1 year",
  accounts:
    "accounts: { cost: { in: money, lines: { none: { amount: 0 } } }, life_years: { in: year, lines: { alive: { amount: 1 } } } }",
};

/** Path of the scenario of a case written in a test. */
export const scenarioPath = "scenarios/test.scenario.yaml";
/** Path of its model. */
export const modelPath = "models/test.model.yaml";

/**
 * A model and a scenario written in a test, with further files. What the test does not say is added below its text: one
 * strategy, cycles of a year, an account of nothing in money and one of life years; a horizon of `cycles` cycles in EUR.
 */
export function caseFiles(model: string, scenario = "", more: Readonly<Record<string, string>> = {}): FileSource {
  return bundleFiles(
    new Map([
      [modelPath, completed(model, { model: "model: test", ...plain })],
      [
        scenarioPath,
        completed(scenario, {
          scenario: "scenario: test",
          model: "model: test",
          settings: "settings: { money: { unit: EUR }, horizon: 4 cycles, effect: life_years }",
        }),
      ],
      ...Object.entries(more),
    ]),
  );
}

/** A text without the indentation that all its lines share, so that YAML may be indented like the test around it. */
function dedented(text: string): string {
  const lines = text.replace(/^\n/, "").trimEnd().split("\n");
  const indents = lines.filter((line) => line.trim() !== "").map((line) => /^ */.exec(line)![0].length);
  const shared = Math.min(...indents);
  return Number.isFinite(shared) ? lines.map((line) => line.slice(shared)).join("\n") : "";
}

function completed(text: string, lines: Readonly<Record<string, string>>): string {
  const own = dedented(text);
  const missing = Object.entries(lines).filter(([key]) => !new RegExp(`^${key}:`, "m").test(own));
  return `${[own, ...missing.map(([, line]) => line)].filter((part) => part !== "").join("\n")}\n`;
}

/** The base case of a study, ready to be asked. Groups are mixed by their shares of the starters. */
export interface Outcome {
  readonly study: Study;
  /** `[compared strategy][group]`. */
  readonly traced: readonly (readonly Traced[])[];
  /** Discounted total of an account, or of one of its lines. */
  total(account: string, asked?: Asked): number;
  /** Undiscounted amounts of an account, or of one of its lines, per cycle. */
  cycles(account: string, asked?: Asked): readonly number[];
  /** How often an event or branch happened, per cycle. */
  events(path: string, asked?: Asked): readonly number[];
  /** Resource used in base units, per cycle. */
  used(resource: string, asked?: Asked): readonly number[];
  /** Share of the starters in the levels named, per boundary. */
  share(levels: Readonly<Record<string, string>>, asked?: Asked): readonly number[];
  /** Share of the starters who are dead, per boundary. */
  dead(asked?: Asked): readonly number[];
  /** Share of the starters in a joint state by its label, per boundary. */
  state(label: string, asked?: Asked): readonly number[];
  /** Mean of the living of a curve, per boundary, in one group. */
  curve(name: string, asked?: Asked): readonly number[];
}

/** Of whom something is asked: the first compared strategy and all groups unless said. */
export interface Asked {
  readonly strategy?: string;
  readonly group?: string;
  readonly line?: string;
}

/** Opens a case and runs its base values through the referee. */
export function runCase(model: string, scenario = "", more: Readonly<Record<string, string>> = {}): Outcome {
  const study = openStudy(caseFiles(model, scenario, more), scenarioPath);
  return outcome(study, runReference(study, baseRow(study.program)));
}

/** What is wrong with a case: the findings of opening it, then of running it; none if it runs. */
export function findingsOf(
  model: string,
  scenario = "",
  more: Readonly<Record<string, string>> = {},
): readonly Finding[] {
  try {
    runCase(model, scenario, more);
    return [];
  } catch (error) {
    if (error instanceof InputError) return error.findings;
    throw error;
  }
}

function outcome(study: Study, traced: readonly (readonly Traced[])[]): Outcome {
  const { program, expansion } = study;
  const T = program.grid.cycles;
  const indexed = (list: readonly string[], name: string): number => {
    const index = list.indexOf(name);
    if (index < 0) throw new Error(`no ${name} among ${list.join(", ")}`);
    return index;
  };
  const mixed = (asked: Asked, length: number, of: (traced: Traced, at: number) => number): readonly number[] => {
    const compared = program.analysis.compare.map((s) => program.strategies[s]!.id);
    const list = traced[asked.strategy === undefined ? 0 : indexed(compared, asked.strategy)]!;
    const groups = program.groups.filter((group) => asked.group === undefined || group.id === asked.group);
    const whole = groups.reduce((sum, group) => sum + group.share, 0);
    return Array.from({ length }, (_, at) =>
      groups.reduce((sum, group) => sum + (group.share / whole) * of(list[group.index]!, at), 0),
    );
  };
  const entriesOf = (account: string, line: string | undefined): readonly number[] => {
    const a = indexed(
      program.accounts.map(({ name }) => name),
      account,
    );
    return program.entries.flatMap((entry, e) =>
      entry.account === a && (line === undefined || entry.line === line) ? [e] : [],
    );
  };
  const amounts = (which: "raw" | "discounted", account: string, asked: Asked): readonly number[] => {
    const entries = entriesOf(account, asked.line);
    return mixed(asked, T, (one, c) => entries.reduce((sum, e) => sum + one[which][e * T + c]!, 0));
  };
  const n = expansion.states.length;
  const membership = (asked: Asked, states: readonly number[]): readonly number[] =>
    mixed(asked, T + 1, (one, c) => states.reduce((sum, i) => sum + one.membership[c * (n + 1) + i]!, 0));
  return {
    study,
    traced,
    total: (account, asked = {}) => amounts("discounted", account, asked).reduce((sum, x) => sum + x, 0),
    cycles: (account, asked = {}) => amounts("raw", account, asked),
    events(path, asked = {}) {
      const at = indexed(program.paths, path);
      return mixed(asked, T, (one, c) => one.events[at * T + c]!);
    },
    used(resource, asked = {}) {
      const names = program.resources.map(({ name }) => name);
      const at = indexed(names, resource);
      return mixed(asked, T, (one, c) => one.resources[at * T + c]!);
    },
    share(levels, asked = {}) {
      const wanted = Object.entries(levels).map(([name, level]) => {
        const factor = program.factors.find((one) => one.name === name)!;
        const names = factor.levels.map((one) => one.name);
        return [factor.index, indexed(names, level)] as const;
      });
      const states = expansion.states.flatMap((state, i) =>
        wanted.every(([f, level]) => state.levels[f] === level) ? [i] : [],
      );
      return membership(asked, states);
    },
    dead: (asked = {}) => membership(asked, [n]),
    state(label, asked = {}) {
      const labels = expansion.states.map((state) => stateLabel(program, state));
      return membership(asked, [indexed(labels, label)]);
    },
    curve(name, asked = {}) {
      const names = program.curves.map((curve) => curve.name);
      const at = indexed(names, name);
      return mixed(asked, T + 1, (one, c) => one.curves[at * (T + 1) + c]!);
    },
  };
}

/** The `inputs:` of a scenario in which every value is given without spread. */
export function fixed(values: Readonly<Record<string, string | number>>): string {
  const lines = Object.entries(values).map(
    ([name, value]) => `  ${name}: { fixed: ${value}, why: by construction, source: invented }`,
  );
  return ["inputs:", ...lines].join("\n");
}
