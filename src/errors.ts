import { type Code, type Said, says } from "./messages.ts";

/** Where something stands: file as given, line and column from 1, path of keys (`events.early.chance`). */
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly path: string;
}

/** One mistake in the user's input, as data: its code, place, what is wrong and what to do. */
export interface Finding extends Place {
  readonly code: Code;
  readonly message: string;
  readonly hint: string;
}

/** The user's mistakes, all of a file at once. Anything else that is thrown is our own bug. */
export class InputError extends Error {
  readonly findings: readonly Finding[];

  constructor(findings: readonly Finding[]) {
    super(findings.map(findingText).join("\n"));
    this.name = "InputError";
    this.findings = sortedByPlace(findings);
  }
}

/**
 * One located mistake of the catalogue.
 * @example finding({ file: "a.yaml", line: 1, column: 1, path: "" }, "missing-key", "model").code // "missing-key"
 */
export function finding<C extends Code>(place: Place, code: C, ...args: Parameters<(typeof says)[C]>): Finding {
  const say = says[code] as (...args: readonly unknown[]) => Said;
  const [message, hint] = say(...args);
  return { code, file: place.file, line: place.line, column: place.column, path: place.path, message, hint };
}

/** An `InputError` with a single finding. */
export function inputError<C extends Code>(place: Place, code: C, ...args: Parameters<(typeof says)[C]>): InputError {
  return new InputError([finding(place, code, ...args)]);
}

/** `file:line:column: message (path); hint`, the one-line form for terminals. */
export function findingText(found: Finding): string {
  const path = found.path === "" ? "" : ` (${found.path})`;
  return `${found.file}:${found.line}:${found.column}: ${found.message}${path}; ${found.hint}`;
}

/** Findings by file, line and column; equal ones once. */
export function sortedByPlace(findings: readonly Finding[]): readonly Finding[] {
  const seen = new Set<string>();
  const unique = findings.filter((found) => {
    const key = `${found.code}\0${findingText(found)}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
  return unique.sort(
    (a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : 0) || a.line - b.line || a.column - b.column,
  );
}

/** Collects findings so that all mistakes of a stage are reported at once. */
export class Findings {
  readonly list: Finding[] = [];

  /** Adds one located mistake. */
  add<C extends Code>(place: Place, code: C, ...args: Parameters<(typeof says)[C]>): void {
    this.list.push(finding(place, code, ...args));
  }

  /** Adds those of a caught `InputError`; throws anything else on. */
  catch(error: unknown): void {
    if (!(error instanceof InputError)) throw error;
    this.list.push(...error.findings);
  }

  /** Throws what was found, if anything. */
  throwAny(): void {
    if (this.list.length > 0) throw new InputError(this.list);
  }
}
