import { z } from "zod";
import type { Place } from "../errors.ts";
import type { Document } from "./document.ts";
import { Source } from "./evidence.ts";
import { QuantityText } from "./expression-text.ts";
import { type FileSource, readText } from "./files.ts";
import { DiscountRate } from "./scenario.ts";
import { parseText } from "./text.ts";
import { validated } from "./validate.ts";

const JurisdictionPart = z.enum(["discount", "thresholds"]);
/** What a jurisdiction may state. */
export type JurisdictionPart = z.infer<typeof JurisdictionPart>;

/** Discount rates and thresholds of a jurisdiction, as stored data; `from_memory` are parts written down without their source at hand. */
const Jurisdiction = z.strictObject({
  label: z.string(),
  year: z.number().int(),
  discount: z.strictObject({ costs: DiscountRate, effects: DiscountRate }).optional(),
  thresholds: z.array(QuantityText).optional(),
  note: z.string().optional(),
  source: Source,
  confidence: z.enum(["high", "medium", "low"]),
  from_memory: z.array(JurisdictionPart),
});
export type Jurisdiction = z.infer<typeof Jurisdiction>;

const Jurisdictions = z.record(z.string(), Jurisdiction);

/** Where the jurisdictions of a case stand, from its root. */
export const jurisdictionsPath = "models/jurisdictions.yaml";

/** The jurisdictions of a case by id, in the order of the file. Throws file-missing at `from` and the errors of the file. */
export function readJurisdictions(files: FileSource, from: Place): Document<Readonly<Record<string, Jurisdiction>>> {
  const root = parseText(readText(files, jurisdictionsPath, from), jurisdictionsPath);
  return { root, data: validated(Jurisdictions, root) };
}
