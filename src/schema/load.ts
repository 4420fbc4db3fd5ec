import { InputError, inputError, type Place } from "../errors.ts";
import type { Document } from "./document.ts";
import { type FileSource, readText, resolvePath } from "./files.ts";
import { isLocatedMap, placeAt } from "./located.ts";
import { mergeScenario } from "./merge.ts";
import { Model } from "./model.ts";
import { nearestNames } from "./nearest.ts";
import { ParsedTexts } from "./parsed-texts.ts";
import { Scenario } from "./scenario.ts";
import { type Located, parseText } from "./text.ts";
import { validated } from "./validate.ts";
import { type AppliedJurisdiction, withJurisdiction } from "./with-jurisdiction.ts";

/** A scenario with everything it extends merged in, and the model it fills. */
export interface LoadedCase {
  readonly scenario: Document<Scenario>;
  readonly model: Document<Model>;
  /** The jurisdiction that the scenario names. */
  readonly jurisdiction: AppliedJurisdiction | null;
  /** Paths of all files read, the scenario first. */
  readonly paths: readonly string[];
}

const extendsLimit = 20;

/** A model file. Throws the errors of reading, of YAML and of the model's schema. */
export function loadModel(files: FileSource, path: string, place: Place, texts: ParsedTexts): Document<Model> {
  return texts.model(texts.root(readText(files, path, place), path), (root) => checkedModel(root, path));
}

function checkedModel(root: Located, path: string): Document<Model> {
  const data = validated(Model, root);
  if (data.model !== modelId(path)) {
    const why = `name the file ${data.model}.model.yaml, or the model ${modelId(path)}`;
    throw inputError(placeAt(root, ["model"]), "inconsistent-keys", [`model: ${data.model}`, path], why);
  }
  return { root, data };
}

/**
 * A scenario file with its bases and its model; files that `texts` holds are not parsed again.
 * Throws file-missing, file-outside, circular, unknown-reference, and the errors of YAML and of all schemas.
 */
export function loadCase(files: FileSource, path: string, texts: ParsedTexts = new ParsedTexts()): LoadedCase {
  const start: Place = { file: path, line: 1, column: 1, path: "" };
  const paths: string[] = [];
  const merged = extended(files, path, start, paths, texts);
  const { root, jurisdiction } = withJurisdiction(merged, files, paths);
  const scenario: Document<Scenario> = { root, data: validated(Scenario, root) };
  const place = placeAt(root, ["model"]);
  const modelPath = modelPathOf(files, scenario.data.model, place);
  paths.push(modelPath);
  return { scenario, model: loadModel(files, modelPath, place, texts), jurisdiction, paths };
}

function extended(files: FileSource, path: string, from: Place, above: string[], texts: ParsedTexts): Located {
  if (above.includes(path)) throw inputError(from, "circular", [...above, path]);
  if (above.length >= extendsLimit) throw inputError(from, "unit-of-work", "extends", extendsLimit);
  above.push(path);
  const root = texts.root(readText(files, path, from), path);
  if (!isLocatedMap(root)) return root;
  const base = root.value.get("extends")?.node;
  if (base === undefined || typeof base.value !== "string") return root;
  const place = placeAt(root, ["extends"]);
  return mergeScenario(extended(files, resolvePath(path, base.value, place), place, above, texts), root);
}

/** The path of a model by its id, which is the name of its file. Throws unknown-reference, duplicate-name. */
export function modelPathOf(files: FileSource, id: string, place: Place): string {
  const models = files.list().filter((path) => /(^|\/)models\/.*\.model\.yaml$/.test(path));
  const [found, other] = models.filter((path) => modelId(path) === id);
  if (found !== undefined && other !== undefined)
    throw inputError(place, "duplicate-name", id, `${found} and ${other}`);
  if (found !== undefined) return found;
  const known = models.map(modelId).sort();
  throw inputError(place, "unknown-reference", "model", id, nearestNames(id, known), known);
}

const modelId = (path: string): string => (path.split("/").at(-1) ?? path).replace(/\.model\.yaml$/, "");

/** What a scenario says of itself; its path where it does not read. */
export interface CaseTitle {
  readonly scenario: string;
  readonly about: string | null;
  /** The file it extends, as it names it. */
  readonly extends: string | null;
}

/** Id and description of a scenario without checking it; the path stands in where it cannot be read. */
export function caseTitle(files: FileSource, path: string): CaseTitle {
  try {
    const root = parseText(readText(files, path, { file: path, line: 1, column: 1, path: "" }), path);
    const text = (key: string): string | null => {
      const value = isLocatedMap(root) ? root.value.get(key)?.node.value : undefined;
      return typeof value === "string" ? value : null;
    };
    return { scenario: text("scenario") ?? path, about: text("about"), extends: text("extends") };
  } catch (error) {
    if (error instanceof InputError) return { scenario: path, about: null, extends: null };
    throw error;
  }
}
