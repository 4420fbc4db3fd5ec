import type { Finding } from "../src/errors.ts";

/** The findings that belong to what stands at a root such as `inputs.regain`. */
export function findingsOfInput(findings: readonly Finding[], root: string): readonly Finding[] {
  return findings.filter(({ path }) => path === root || path.startsWith(`${root}.`) || path.startsWith(`${root}[`));
}

/**
 * The findings that stand beside one field of an input: those that name it, and those that name what holds it (the
 * form, the cell) unless another field is named more exactly.
 */
export function findingsOfField(
  findings: readonly Finding[],
  root: string,
  path: readonly (string | number)[],
): readonly Finding[] {
  const full = [root, ...path].join(".");
  return findings.filter((found) => {
    const at = found.path.replaceAll("[", ".").replaceAll("]", "");
    return at === full || (full.startsWith(`${at}.`) && at.startsWith(root));
  });
}

/**
 * Names of the checks that failed, where nothing else is wrong and all are the scenario's own; else none. The model's
 * checks hold for any values and cannot be left out.
 */
export function failedChecks(findings: readonly Finding[], own: readonly string[]): readonly string[] {
  const names = findings.map(({ code, path }) => {
    const [place, name] = path.split(".");
    return code === "expectation-failed" && place === "expect" ? (name ?? "") : "";
  });
  return names.every((name) => own.includes(name)) ? [...new Set(names)] : [];
}
