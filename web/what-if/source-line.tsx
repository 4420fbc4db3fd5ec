import type { EvidenceText } from "../evidence-fields.ts";

/** Where a value comes from, as its evidence says at its own place or at the nearest above it. */
export function SourceLine({
  evidence,
  path,
}: {
  readonly evidence: EvidenceText;
  readonly path: readonly (string | number)[];
}) {
  const said = sayings(evidence, path);
  return said.length === 0 ? null : <p class="source-line">{said.join("; ")}</p>;
}

const isMap = (value: unknown): value is EvidenceText =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/** Source, reason and note, each from the innermost place that gives one. */
function sayings(evidence: EvidenceText, path: readonly (string | number)[]): readonly string[] {
  const levels: EvidenceText[] = [evidence];
  for (const key of path) {
    const inner = levels.at(-1)![String(key)];
    if (!isMap(inner)) break;
    levels.push(inner);
  }
  const nearest = (key: string): unknown => levels.toReversed().find((level) => level[key] !== undefined)?.[key];
  const same = nearest("same_as");
  return [
    typeof same === "string" ? `The same as ${same}` : "",
    sourceText(nearest("source")),
    plain(nearest("why")),
    plain(nearest("note")),
  ].filter((text) => text !== "");
}

const plain = (value: unknown): string => (typeof value === "string" ? value : "");

/** A source in words: `invented`, or its citation with year and page. */
export function sourceText(source: unknown): string {
  if (source === "invented") return "Invented";
  if (typeof source === "string") return source;
  if (!isMap(source)) return "";
  const parts = [source["cite"], source["note"], source["year"], source["page"]]
    .filter((part) => part !== undefined)
    .map(String);
  return typeof source["same_as"] === "string" ? `As ${source["same_as"]}` : parts.join(", ");
}
