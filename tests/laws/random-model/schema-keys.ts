import type { Tree } from "./draft.ts";

/** What a type of a schema tells of itself, as far as it is read here. */
interface Definition {
  readonly shape?: Readonly<Record<string, Schema>>;
  readonly valueType?: Schema;
  readonly element?: Schema;
  readonly innerType?: Schema;
  readonly options?: readonly Schema[];
  readonly entries?: Readonly<Record<string, string>>;
  readonly values?: readonly unknown[];
}

/** A type of a schema. */
export interface Schema {
  readonly def: unknown;
}

/** A type with the path at which it stands, to come back to where it nests in itself. */
interface Frame {
  readonly schema: Schema;
  readonly path: string;
}

type Found = (path: string) => void;

/** Calls `found` with the path of every key of a schema (`model.events.*.cases[].at`) and of every word of a choice. */
export function everyKey(schema: Schema, path: string, found: Found, above: readonly Frame[] = []): void {
  for (const type of admitted(schema)) {
    if (above.some((frame) => frame.schema === type)) continue;
    const { shape, valueType, element } = type.def as Definition;
    const inside = [...above, { schema: type, path }];
    for (const [key, inner] of Object.entries(shape ?? {})) {
      found(`${path}.${key}`);
      everyKey(inner, `${path}.${key}`, found, inside);
    }
    if (valueType !== undefined) everyKey(valueType, `${path}.*`, found, inside);
    if (element !== undefined) {
      found(`${path}[]`);
      everyKey(element, `${path}[]`, found, inside);
    }
    for (const word of words(type)) found(`${path} = ${word}`);
  }
}

/** The same for the keys and words that a file uses; a type nested in itself counts where it stands first. */
export function usedKeys(schema: Schema, value: Tree, path: string, found: Found, above: readonly Frame[] = []): void {
  for (const type of admitted(schema)) {
    const { shape, valueType, element } = type.def as Definition;
    const at = above.find((frame) => frame.schema === type)?.path ?? path;
    const inside = [...above, { schema: type, path: at }];
    if (Array.isArray(value)) {
      if (element === undefined) continue;
      found(`${at}[]`);
      for (const item of value as readonly Tree[]) usedKeys(element, item, `${at}[]`, found, inside);
    } else if (typeof value === "object") {
      for (const [key, inner] of Object.entries(value)) {
        const known = shape?.[key];
        if (known !== undefined) {
          found(`${at}.${key}`);
          usedKeys(known, inner, `${at}.${key}`, found, inside);
        } else if (valueType !== undefined) usedKeys(valueType, inner, `${at}.*`, found, inside);
      }
    } else if (typeof value === "string" && words(type).includes(value)) found(`${at} = ${value}`);
  }
}

/** The types a schema admits, optional ones unwrapped and unions taken apart. */
function admitted(schema: Schema): readonly Schema[] {
  const { innerType, options } = schema.def as Definition;
  if (innerType !== undefined) return admitted(innerType);
  return options === undefined ? [schema] : options.flatMap(admitted);
}

/** The words a type admits, where it admits some words only. */
function words(type: Schema): readonly string[] {
  const { entries, values } = type.def as Definition;
  const literals = (values ?? []).filter((value) => typeof value === "string");
  return [...Object.values(entries ?? {}), ...literals];
}
