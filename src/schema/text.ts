import { isAlias, isMap, isScalar, isSeq, LineCounter, type Node, parseDocument, type Scalar } from "yaml";
import { type Finding, Findings, finding, InputError, type Place } from "../errors.ts";
import { type Nesting, nestingOf } from "./nesting.ts";

/** A value of a file that remembers where it stands. Maps keep the order of the file. */
export interface Located {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  /** Where the text itself begins: 1 behind the column for quoted text, absent for text over several lines. */
  readonly textColumn?: number;
  readonly value: string | number | boolean | null | ReadonlyMap<string, LocatedEntry> | readonly Located[];
}

/** A key of a map with its own place. */
export interface LocatedEntry {
  readonly line: number;
  readonly column: number;
  readonly node: Located;
}

const sizeLimit = 300_000;
const depthLimit = 64;
// beyond so many mistakes in one file, more do not help
const findingLimit = 100;

/**
 * Reads YAML text into located values, or throws every mistake found in it.
 * Guards against text that would exhaust the parser: size, nesting, aliases; duplicate keys are checked in linear time.
 * Throws file-too-large, yaml-depth, yaml-syntax, yaml-alias, yaml-documents, duplicate-key, unquoted-colon, unquoted-comma.
 */
export function parseText(text: string, file: string): Located {
  const start: Place = { file, line: 1, column: 1, path: "" };
  if (text.length > sizeLimit) throw new InputError([finding(start, "file-too-large", text.length, sizeLimit)]);
  const nesting = nestingOf(text, depthLimit);
  if (nesting.tooDeep !== undefined)
    throw new InputError([finding({ ...start, ...nesting.tooDeep }, "yaml-depth", depthLimit)]);
  const lines = new LineCounter();
  // prettyErrors would quote the text around each mistake, in time that grows with the square of their number
  const quiet = { prettyErrors: false, logLevel: "error" } as const;
  const document = withoutTraces(() =>
    parseDocument(text, { ...quiet, lineCounter: lines, uniqueKeys: false, merge: false }),
  );
  const at = (offset: number): { line: number; column: number } => {
    const position = lines.linePos(Math.min(offset, text.length));
    return { line: Math.max(1, position.line), column: Math.max(1, position.col) };
  };
  if (document.contents === null && document.errors.length === 0) {
    throw new InputError([finding(start, "yaml-syntax", "the file is empty")]);
  }
  // what follows the first mistake of syntax is mostly its consequence
  const [first] = [...document.errors, ...document.warnings];
  if (first !== undefined) {
    const place = { ...start, ...at(first.pos[0]) };
    throw new InputError([syntaxFinding(place, first.code, first.message, text, nesting)]);
  }
  const findings = new Findings();
  const add: Findings["add"] = (place, code, ...args) => {
    // a comma cuts one expression into several pieces: the first tells
    const last = findings.list.at(-1);
    if (code === "unquoted-comma" && last?.code === code && last.line === place.line) return;
    if (findings.list.length < findingLimit) findings.add(place, code, ...args);
  };
  const convert = (node: Node | null | undefined, offset: number, path: string, inFlow: boolean): Located => {
    const position = at(node?.range?.[0] ?? offset);
    const place: Place = { file, path, ...position };
    if (node === null || node === undefined) return { file, ...position, value: null };
    if (isAlias(node) || ("anchor" in node && node.anchor !== undefined) || hasOwnTag(node)) {
      add(place, "yaml-alias");
      return { file, ...position, value: null };
    }
    if (isMap(node)) {
      const flow = node.flow === true;
      const entries = new Map<string, LocatedEntry>();
      for (const pair of node.items) {
        const keyNode = pair.key as Node | null;
        const keyAt = at(keyNode?.range?.[0] ?? node.range?.[0] ?? 0);
        const key = keyText(keyNode);
        if (key === undefined) {
          add({ file, path, ...keyAt }, "yaml-syntax", "a key is not a plain word");
          continue;
        }
        if (flow && unbalanced(key)) {
          add({ file, path, ...keyAt }, "unquoted-comma");
          continue;
        }
        const childPath = path === "" ? key : `${path}.${key}`;
        const child = convert(pair.value as Node | null, keyNode?.range?.[1] ?? 0, childPath, flow);
        if (key === "__proto__") add({ file, path: childPath, ...keyAt }, "invalid-name", key);
        else if (entries.has(key)) add({ file, path: childPath, ...keyAt }, "duplicate-key", key);
        else entries.set(key, { ...keyAt, node: child });
      }
      return { file, ...position, value: entries };
    }
    if (isSeq(node)) {
      const items = node.items.map((item, index) =>
        convert(item as Node | null, node.range?.[0] ?? 0, `${path}[${index}]`, node.flow === true),
      );
      return { file, ...position, value: items };
    }
    const scalar = node as Scalar;
    const value = scalarValue(scalar, place, inFlow, add);
    const quoted = scalar.type === "QUOTE_DOUBLE" || scalar.type === "QUOTE_SINGLE";
    const oneLine = (quoted || scalar.type === "PLAIN") && !String(scalar.source ?? "").includes("\n");
    return { file, ...position, ...(oneLine ? { textColumn: position.column + (quoted ? 1 : 0) } : {}), value };
  };
  const located = convert(document.contents as Node | null, 0, "", false);
  findings.throwAny();
  return located;
}

/** The parser makes an error of each mistake; stack traces would take most of the time of a text full of them. */
function withoutTraces<T>(read: () => T): T {
  const errors = Error as { stackTraceLimit?: number };
  const limit = errors.stackTraceLimit;
  errors.stackTraceLimit = 0;
  try {
    return read();
  } finally {
    if (limit !== undefined) errors.stackTraceLimit = limit;
  }
}

function scalarValue(node: Scalar, place: Place, inFlow: boolean, add: Findings["add"]): Located["value"] {
  const value = node.value;
  if (typeof value === "string") {
    if (inFlow && node.type === "PLAIN" && unbalanced(value)) add(place, "unquoted-comma");
    return value;
  }
  if (typeof value === "number") {
    if (!Number.isFinite(value)) add(place, "yaml-syntax", "a number is not finite");
    return value;
  }
  if (typeof value === "boolean" || value === null) return value;
  add(place, "yaml-syntax", "a value is neither text, number nor true or false");
  return null;
}

function hasOwnTag(node: Node): boolean {
  return typeof node.tag === "string" && !node.tag.startsWith("tag:yaml.org,2002:");
}

function keyText(key: Node | null): string | undefined {
  if (!isScalar(key) || key.anchor !== undefined) return undefined;
  if (typeof key.value === "string") return key.value;
  return typeof key.source === "string" ? key.source : undefined;
}

const unbalanced = (text: string): boolean =>
  text.split("(").length !== text.split(")").length || text.split("[").length !== text.split("]").length;

function syntaxFinding(place: Place, code: string, message: string, text: string, nesting: Nesting): Finding {
  const { openQuote, openBracket } = nesting;
  if (code === "MULTIPLE_DOCS") return finding(place, "yaml-documents");
  if (code === "TAG_RESOLVE_FAILED") return finding(place, "yaml-alias");
  if (openQuote !== undefined)
    return finding({ ...place, ...openQuote }, "yaml-syntax", "a quote is opened here and not closed");
  const line = text.split("\n", place.line)[place.line - 1] ?? "";
  if (/^\s*(?:- )?[A-Za-z_][\w-]*:[^\s:]/.test(line))
    return finding(place, "yaml-syntax", "a colon needs a space behind it");
  const conditional = line.indexOf(" ? ");
  if (conditional >= 0 && line.indexOf(" : ", conditional) >= 0) return finding(place, "unquoted-colon");
  if (/[{[][^"']*\w[[(]/.test(line)) return finding(place, "unquoted-comma");
  if (openBracket !== undefined) {
    const what = `the bracket ${openBracket.sign} is opened here and not closed by its like`;
    return finding({ ...place, line: openBracket.line, column: openBracket.column }, "yaml-syntax", what);
  }
  const first = message.split("\n")[0] ?? message;
  return finding(place, "yaml-syntax", first.replace(/ at line \d+, column \d+:?$/, ""));
}
