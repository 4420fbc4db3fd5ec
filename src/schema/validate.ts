import type { z } from "zod";
import { Findings } from "../errors.ts";
import { nodeAt, placeAt, plainValue, type Step } from "./located.ts";
import { nearestNames } from "./nearest.ts";
import type { Located } from "./text.ts";

type Issue = z.core.$ZodIssue;

/**
 * The located value checked against a schema; throws every mistake at once, each at its place, unknown keys with the
 * nearest known one. Throws unknown-key, missing-key, wrong-shape.
 */
export function validated<T extends z.ZodType>(schema: T, root: Located): z.output<T> {
  const result = schema.safeParse(plainValue(root));
  if (result.success) return result.data;
  const findings = new Findings();
  for (const issue of result.error.issues) report(issue, [], root, schema, findings);
  findings.throwAny();
  throw new Error("a schema refused a value without an issue");
}

function report(issue: Issue, above: readonly Step[], root: Located, schema: z.ZodType, findings: Findings): void {
  const path = [...above, ...issue.path.map((step) => (typeof step === "symbol" ? String(step) : step))];
  const found = nodeAt(root, path);
  switch (issue.code) {
    case "unrecognized_keys": {
      const known = knownKeys(schema, path);
      for (const key of issue.keys) {
        const near = instead(key, known) ?? nearestNames(key, known);
        findings.add(placeAt(root, [...path, key], true), "unknown-key", key, near, known);
      }
      return;
    }
    case "invalid_union": {
      const value = found === undefined ? undefined : plainValue(found);
      if (value === undefined) {
        missing(root, path, findings);
        return;
      }
      // the branch that fits the type of what was found tells what is wrong inside; otherwise name what was expected
      const branch = issue.errors.find((issues) =>
        issues.every((inner) => inner.path.length > 0 || inner.code === "unrecognized_keys"),
      );
      if (branch !== undefined && typeof value === "object") {
        for (const inner of branch) report(inner, path, root, schema, findings);
        return;
      }
      findings.add(placeAt(root, path), "wrong-shape", shown(value), issue.message);
      return;
    }
    default: {
      if (found === undefined) {
        missing(root, path, findings);
        return;
      }
      findings.add(placeAt(root, path), "wrong-shape", shown(plainValue(found)), expected(issue));
    }
  }
}

/** What to write for keys that stand for a known slip: a decimal comma, or a deviation taken for an error. */
function instead(key: string, known: readonly string[]): readonly string[] | undefined {
  if (/^\d/.test(key)) return ["a decimal point: a comma ends the value before it"];
  return key === "sd" && known.includes("se") ? ["observed: { mean, sd, n }"] : undefined;
}

function missing(root: Located, path: readonly Step[], findings: Findings): void {
  findings.add({ ...placeAt(root, path.slice(0, -1), true) }, "missing-key", String(path.at(-1)));
}

function expected(issue: Issue): string {
  switch (issue.code) {
    case "invalid_type":
      if (issue.expected === "tuple") return issue.message;
      return (
        { string: "text", object: "a map", record: "a map", array: "a list", int: "a whole number" }[
          issue.expected as string
        ] ?? `a ${issue.expected}`
      );
    case "invalid_value":
      return issue.values.length === 1 ? String(issue.values[0]) : `one of ${issue.values.map(String).join(", ")}`;
    case "too_small":
      return `at least ${issue.minimum}`;
    case "too_big":
      return `at most ${issue.maximum}`;
    default:
      return issue.message;
  }
}

function shown(value: unknown): string {
  if (value === null) return "nothing";
  if (Array.isArray(value)) return "a list";
  if (typeof value === "object") return "a map";
  const text = String(value);
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}

interface Definition {
  readonly type: string;
  readonly shape?: Record<string, z.ZodType>;
  readonly valueType?: z.ZodType;
  readonly element?: z.ZodType;
  readonly innerType?: z.ZodType;
  readonly options?: readonly z.ZodType[];
}

/** The keys known at a path of a schema, for the hint of an unknown key. */
function knownKeys(schema: z.ZodType, path: readonly Step[]): readonly string[] {
  let open: readonly z.ZodType[] = [schema];
  const widened = (types: readonly z.ZodType[]): readonly z.ZodType[] =>
    types.flatMap((type) => {
      const definition = type.def as unknown as Definition;
      if (definition.innerType !== undefined) return widened([definition.innerType]);
      if (definition.options !== undefined) return widened(definition.options);
      return [type];
    });
  for (const step of path) {
    open = widened(open).flatMap((type) => {
      const { shape, valueType, element } = type.def as unknown as Definition;
      const next = shape?.[String(step)] ?? valueType ?? (typeof step === "number" ? element : undefined);
      return next === undefined ? [] : [next];
    });
  }
  return widened(open).flatMap((type) => Object.keys((type.def as unknown as Definition).shape ?? {}));
}
