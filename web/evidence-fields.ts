/** Evidence as the scenario gives it, or the weights of a formula's variants: keys and values, not yet judged. */
export type EvidenceText = Readonly<Record<string, unknown>>;

/** One editable number (or word) of an input's evidence, as the scenario gives it. */
export interface EvidenceField {
  /** Keys from the input's evidence down to the value. */
  readonly path: readonly (string | number)[];
  /** What the number is, in the words of its form. */
  readonly label: string;
  /** Keys of the strategy or cell it belongs to, outermost first; empty where the input has one value. */
  readonly cell: readonly string[];
  /** The number as written, or the word. */
  readonly text: string;
  /** The unit written behind it, such as `EUR`, `% / year`; empty where there is none. */
  readonly ownUnit: string;
  /** The unit that the evidence gives all its bare numbers; empty where there is none. */
  readonly commonUnit: string;
}

/** What stands in a field: the text to edit and the unit behind it. */
export interface Written {
  readonly text: string;
  readonly unit: string;
}

type Value = unknown;
type Path = readonly (string | number)[];

/** What the keys of each form are called beside their fields; a key not listed is no field. */
const names: Readonly<Record<string, string>> = {
  fixed: "value",
  "observed.events": "events",
  "observed.of": "of",
  "observed.person_time": "person-time",
  "observed.counts": "count",
  "observed.mean": "mean",
  "observed.sd": "standard deviation",
  "observed.n": "people",
  mean: "mean",
  se: "standard error",
  estimate: "estimate",
  "interval.0": "low",
  "interval.1": "high",
  level: "level",
  quantiles: "quantile",
  chosen: "weight",
};

const quantity = /^\s*([+-]?[\d.]+(?:[eE][+-]?\d+)?)\s*(.*?)\s*$/;

/** A written quantity as its number and its unit; what is no quantity is all text. */
export function numberAndUnit(written: string | number): Written {
  if (typeof written === "number") return { text: String(written), unit: "" };
  const parts = quantity.exec(written);
  return parts === null ? { text: written, unit: "" } : { text: parts[1]!, unit: parts[2]! };
}

const isMap = (value: Value): value is Readonly<Record<string, Value>> => typeof value === "object" && value !== null;

/** All fields of an input's evidence in the order it is written. */
export function evidenceFields(evidence: EvidenceText): readonly EvidenceField[] {
  return fieldsBelow(evidence, [], []);
}

/** The fields of the weights of a formula's variants. */
export function weightFields(weights: EvidenceText): readonly EvidenceField[] {
  return Object.entries(weights).flatMap(([name, weight]) =>
    typeof weight === "number" ? leaf(weight, name.replaceAll("_", " "), [name], [], "") : [],
  );
}

function fieldsBelow(evidence: EvidenceText, path: Path, cell: readonly string[]): readonly EvidenceField[] {
  return Object.entries(evidence).flatMap(([key, value]) => {
    if ((key === "by" || key === "each") && isMap(value)) {
      return Object.entries(value).flatMap(([id, inner]) =>
        fieldsBelow(inner as EvidenceText, [...path, key, id], [...cell, id]),
      );
    }
    return formFields(key, value, [...path, key], cell, typeof evidence["in"] === "string" ? evidence["in"] : "");
  });
}

function formFields(
  form: string,
  value: Value,
  path: Path,
  cell: readonly string[],
  unit: string,
): readonly EvidenceField[] {
  const label = names[form];
  if (isMap(value)) {
    return Object.entries(value).flatMap(([key, inner]) => {
      const at = Array.isArray(value) ? Number(key) : key;
      const own = names[`${form}.${key}`];
      if (own !== undefined) return formFields(`${form}.${key}`, inner, [...path, at], cell, unit);
      if (label === undefined) return [];
      // a map of cells or of quantiles: the key itself says what the number is
      return leaf(inner, key.replaceAll("_", " "), [...path, at], cell, unit);
    });
  }
  return label === undefined ? [] : leaf(value, label, path, cell, unit);
}

const counts = new Set(["events", "of", "n", "level", "counts", "chosen"]);

function leaf(
  value: Value,
  label: string,
  path: Path,
  cell: readonly string[],
  common: string,
): readonly EvidenceField[] {
  if (typeof value !== "string" && typeof value !== "number") return [];
  const { text, unit } = numberAndUnit(value);
  const bare = path.some((key) => counts.has(String(key)));
  return [{ path, label, cell, text, ownUnit: unit, commonUnit: unit === "" && !bare ? common : "" }];
}

const behind = (unit: string): string => (unit === "" || unit.startsWith("%") ? unit : ` ${unit}`);

/** What stands in a field of evidence that may have been edited; a unit of the reader's own stays in the text. */
export function writtenIn(evidence: EvidenceText, field: EvidenceField): Written {
  const value = field.path.reduce<Value>((inner, key) => (isMap(inner) ? inner[String(key)] : undefined), evidence);
  const text = typeof value === "number" ? String(value) : typeof value === "string" ? value : "";
  if (field.ownUnit === "") return { text, unit: field.commonUnit };
  const end = behind(field.ownUnit);
  if (text.endsWith(end)) return { text: text.slice(0, -end.length), unit: field.ownUnit };
  return numberAndUnit(text).unit === field.ownUnit ? numberAndUnit(text) : { text, unit: "" };
}

/** The evidence with another number or word in one field. The unit behind it stays unless the reader writes one. */
export function withField(evidence: EvidenceText, field: EvidenceField, text: string): EvidenceText {
  return replaced(evidence, field.path, (before) => {
    if (text.trim() !== "" && Number.isFinite(Number(text)) && field.ownUnit === "") {
      return typeof before === "number" || field.commonUnit !== "" ? Number(text) : text;
    }
    const hasUnit = numberAndUnit(text).unit !== "";
    return hasUnit ? text : `${text}${behind(field.ownUnit)}`;
  }) as EvidenceText;
}

function replaced(value: Value, path: Path, change: (before: Value) => Value): Value {
  const [key, ...below] = path;
  if (key === undefined) return change(value);
  if (Array.isArray(value)) return value.map((one: Value, i) => (i === key ? replaced(one, below, change) : one));
  const map = value as Readonly<Record<string, Value>>;
  return Object.fromEntries(
    Object.entries(map).map(([name, one]) => [name, name === key ? replaced(one, below, change) : one]),
  );
}
