import type { Place } from "../errors.ts";
import { nodeAt, placeAt, type Step } from "./located.ts";
import type { Located } from "./text.ts";

/** A checked file: its data, and where each value stands. */
export interface Document<T> {
  readonly data: T;
  readonly root: Located;
}

/** An expression with the place it came from. */
export interface ExpressionSource {
  readonly text: string | number | boolean;
  readonly place: Place;
  /** Column of the text's first character, where it stands on one line. */
  readonly textColumn?: number;
}

/** Place of the value (or, with `key`, of the key) at a path of a document. */
export function placeIn(document: Document<unknown>, path: readonly Step[], key = false): Place {
  return placeAt(document.root, path, key);
}

/** The expression at a path of a document. */
export function expressionAt(document: Document<unknown>, path: readonly Step[]): ExpressionSource {
  const node = nodeAt(document.root, path);
  const place = placeAt(document.root, path);
  const value = node?.value;
  const text = typeof value === "string" || typeof value === "number" || typeof value === "boolean" ? value : "";
  return { text, place, ...(node?.textColumn === undefined ? {} : { textColumn: node.textColumn }) };
}

/** The place of a word inside an expression; of the expression where the word cannot be found. */
export function placeOfWord(source: ExpressionSource, word: string): Place {
  if (typeof source.text !== "string" || source.textColumn === undefined) return source.place;
  const escaped = word.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const index = source.text.search(new RegExp(`(?<![\\w])${escaped}(?![\\w])`));
  return index < 0 ? source.place : { ...source.place, column: source.textColumn + index };
}
