import { Findings } from "../errors.ts";
import { choleskyFactor, spearmanToNormal } from "../numerics/copula.ts";
import { type Document, placeIn } from "../schema/document.ts";
import { nearestNames } from "../schema/nearest.ts";
import type { Scenario } from "../schema/scenario.ts";
import type { Laws } from "./laws.ts";
import type { Component } from "./reported.ts";

/** Components drawn with correlated normal scores: their indices and the Cholesky factor of the correlation. */
export interface CorrelatedBlock {
  readonly members: readonly number[];
  /** Lower triangle, row-major, members x members. */
  readonly factor: Float64Array;
}

/** Components that never fall below the one before: the first is drawn, then the gaps. */
export interface OrderedChain {
  readonly members: readonly number[];
}

/** How draws of different components hang together. */
export interface Dependence {
  readonly blocks: readonly CorrelatedBlock[];
  readonly chains: readonly OrderedChain[];
}

/**
 * Reads `correlated` and `ordered` of a scenario. Names are `input`, `input.strategy` or `input.cell`.
 * Throws unknown-reference and evidence-invalid (no law of its own, named twice, not symmetric, not positive definite).
 */
export function readDependence(scenario: Document<Scenario>, components: readonly Component[], laws: Laws): Dependence {
  const findings = new Findings();
  const byKey = new Map(components.map((component, i) => [component.key, i]));
  const used = new Set<number>();
  const member = (name: string, path: readonly (string | number)[]): number | undefined => {
    const [input = "", ...parts] = name.split(".");
    const key = `${input}${parts.map((part) => `[${part}]`).join("")}`;
    const index = byKey.get(key);
    const place = placeIn(scenario, path);
    if (index === undefined) {
      const known = [...byKey.keys()].map((one) => one.replaceAll("][", ".").replace("[", ".").replace("]", ""));
      findings.add(place, "unknown-reference", "input value", name, nearestNames(name, known), []);
      return undefined;
    }
    if (laws.drawings[index]!.how !== "law") {
      findings.add(
        place,
        "evidence-invalid",
        `${name} has no distribution of its own`,
        "name inputs given with a spread",
      );
      return undefined;
    }
    if (used.has(index)) {
      findings.add(place, "evidence-invalid", `${name} is named twice`, "let each input stand in one group");
      return undefined;
    }
    used.add(index);
    return index;
  };
  const fitted = fittedBlocks(components, used, findings);
  const blocks = (scenario.data.correlated ?? []).flatMap((given, b) => {
    const path = ["correlated", b];
    const members = given.inputs.flatMap((name, i) => member(name, [...path, "inputs", i]) ?? []);
    if (members.length !== given.inputs.length) return [];
    const n = members.length;
    const place = placeIn(scenario, [...path, "matrix"]);
    if (given.matrix.length !== n || given.matrix.some((row) => row.length !== n)) {
      findings.add(
        place,
        "evidence-invalid",
        `a matrix that is not ${n} by ${n}`,
        "give one row and one column per input",
      );
      return [];
    }
    const matrix = Float64Array.from(given.matrix.flat());
    for (let i = 0; i < n; i++)
      for (let j = 0; j < i; j++) {
        if (Math.abs(matrix[i * n + j]! - matrix[j * n + i]!) > 1e-12) {
          findings.add(
            place,
            "evidence-invalid",
            `a matrix that is not symmetric at ${i + 1}, ${j + 1}`,
            "give the same number on both sides of the diagonal",
          );
          return [];
        }
      }
    if (given.is === "covariance") {
      const problem = fromCovariance(matrix, members, components, laws);
      if (problem !== undefined) {
        findings.add(
          place,
          "evidence-invalid",
          problem,
          "covariance needs normal laws on their natural, log or logit scale, and their variances on the diagonal",
        );
        return [];
      }
    }
    for (let i = 0; i < n; i++) {
      if (Math.abs(matrix[i * n + i]! - 1) > 1e-9) {
        findings.add(
          place,
          "evidence-invalid",
          `a diagonal entry of ${matrix[i * n + i]}`,
          "the diagonal of a correlation is 1",
        );
        return [];
      }
      if (given.is === "spearman")
        for (let j = 0; j < n; j++) if (i !== j) matrix[i * n + j] = spearmanToNormal(matrix[i * n + j]!);
    }
    const factor = choleskyFactor(matrix, n);
    if (factor === undefined) {
      findings.add(
        place,
        "evidence-invalid",
        "a correlation that is not positive definite",
        "check signs and sizes; no joint distribution has these correlations",
      );
      return [];
    }
    return [{ members, factor }];
  });
  const chains = (scenario.data.ordered ?? []).flatMap((names, c) => {
    const members = names.flatMap((name, i) => member(name, ["ordered", c, i]) ?? []);
    if (members.length !== names.length) return [];
    const bases = members.map((index) => components[index]!.base);
    if (bases.some((base, i) => i > 0 && !(base > bases[i - 1]!))) {
      findings.add(
        placeIn(scenario, ["ordered", c]),
        "evidence-invalid",
        "base values that do not rise in the order given",
        "name the lowest first",
      );
      return [];
    }
    return [{ members }];
  });
  findings.throwAny();
  return { blocks: [...fitted, ...blocks], chains };
}

/** Parameters of one fitted course are drawn together; each of them once. */
function fittedBlocks(
  components: readonly Component[],
  used: Set<number>,
  findings: Findings,
): readonly CorrelatedBlock[] {
  const courses = new Map<string, Map<string, number>>();
  for (const [i, { reported, place }] of components.entries()) {
    if (reported.form !== "fitted") continue;
    const members = courses.get(reported.fit) ?? new Map<string, number>();
    courses.set(reported.fit, members);
    const first = members.get(reported.parameter);
    if (first !== undefined) {
      const instead = `let it be same_as ${components[first]!.key}, which draws it`;
      findings.add(place, "evidence-invalid", `${reported.fit}.${reported.parameter} is used twice`, instead);
    } else members.set(reported.parameter, i);
  }
  return [...courses.values()].flatMap((course) => {
    const members = [...course.values()];
    if (members.length < 2) return [];
    const matrix = members.flatMap((index) => {
      const { reported } = components[index]!;
      return [...course.keys()].map((other) => (reported.form === "fitted" ? reported.correlation[other]! : 0));
    });
    const factor = choleskyFactor(Float64Array.from(matrix), members.length);
    if (factor === undefined) {
      const what = "the points do not tell its parameters apart";
      findings.add(components[members[0]!]!.place, "evidence-invalid", what, "give one of them under given");
      return [];
    }
    for (const index of members) used.add(index);
    return [{ members, factor }];
  });
}

/** Turns a covariance on the normal scale into a correlation in place; returns what is wrong, if anything. */
function fromCovariance(
  matrix: Float64Array,
  members: readonly number[],
  components: readonly Component[],
  laws: Laws,
): string | undefined {
  const n = members.length;
  const sds = members.map((index, i) => {
    const drawing = laws.drawings[index]!;
    const law = drawing.how === "law" ? drawing.law : undefined;
    const sd =
      law?.family === "normal"
        ? law.parameters["sd"]
        : law?.family === "log-normal" || law?.family === "logit-normal"
          ? law.parameters["sigma"]
          : undefined;
    return sd === undefined
      ? `${components[index]!.key} is not normal on any scale`
      : Math.abs(sd * sd - matrix[i * n + i]!) > 1e-6 * sd * sd
        ? `the variance of ${components[index]!.key} is ${sd * sd}, not ${matrix[i * n + i]}`
        : sd;
  });
  const wrong = sds.find((sd) => typeof sd === "string");
  if (typeof wrong === "string") return wrong;
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      matrix[i * n + j] = i === j ? 1 : matrix[i * n + j]! / ((sds[i] as number) * (sds[j] as number));
  return undefined;
}
