import { CST, Lexer } from "yaml";

/** A place in a text, both from 1. */
export interface Spot {
  readonly line: number;
  readonly column: number;
}

/** What the tokens of a YAML text say before anything is built from them. */
export interface Nesting {
  /** The first place that nests deeper than the limit; reading stops there. */
  readonly tooDeep?: Spot;
  /** A quote that is opened and not closed. */
  readonly openQuote?: Spot;
  /** The first bracket that is opened and not closed, or closed by one of the other kind. */
  readonly openBracket?: Spot & { readonly sign: string };
}

/**
 * Follows brackets, indentation and the dashes, question marks and colons that open levels on one line. The parser is
 * recursive and a hundred thousand brackets end the program, so this reads tokens only, which takes no stack.
 */
export function nestingOf(text: string, limit: number): Nesting {
  const brackets: (Spot & { readonly sign: string })[] = [];
  const indents: number[] = [];
  let openBracket: Nesting["openBracket"];
  let line = 1;
  let column = 1;
  /** Indicators met on this line before its first word, and the column of the first. */
  let opened = 0;
  let atStart = true;
  let scalarNext = false;
  for (const token of new Lexer().lex(text)) {
    const type = scalarNext ? "scalar" : CST.tokenType(token);
    if (!scalarNext && (type === "byte-order-mark" || type === "doc-mode" || type === "flow-error-end")) {
      if (type === "flow-error-end") openBracket ??= brackets.at(0);
      if (type === "flow-error-end") brackets.length = 0;
      continue;
    }
    if (!scalarNext && type === "scalar") {
      scalarNext = true;
      continue;
    }
    scalarNext = false;
    const spot: Spot = { line, column };
    if (type === "flow-seq-start" || type === "flow-map-start") brackets.push({ ...spot, sign: token });
    else if (type === "flow-seq-end" || type === "flow-map-end") {
      const open = brackets.pop();
      if (open !== undefined && (open.sign === "[") !== (token === "]")) openBracket ??= open;
    } else if (type === "double-quoted-scalar" || type === "single-quoted-scalar") {
      if (token.length < 2 || token.at(-1) !== token[0]) return { openQuote: spot };
    }
    const indicator = type === "seq-item-ind" || type === "explicit-key-ind" || type === "map-value-ind";
    if (brackets.length === 0 && type !== "space" && type !== "newline" && type !== "comment") {
      if (atStart) {
        while (indents.length > 0 && indents.at(-1)! >= column) indents.pop();
        indents.push(column);
        atStart = false;
      }
      if (indicator) opened += 1;
    }
    if (brackets.length + indents.length + opened > limit) return { tooDeep: spot };
    const lastBreak = token.lastIndexOf("\n");
    if (lastBreak < 0) column += token.length;
    else {
      line += token.split("\n").length - 1;
      column = token.length - lastBreak;
      opened = 0;
      atStart = true;
    }
  }
  openBracket ??= brackets.at(0);
  return openBracket === undefined ? {} : { openBracket };
}
