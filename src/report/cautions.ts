import type { Program } from "../compile/program.ts";
import type { MoneyWay } from "../evidence/money.ts";
import type { Source } from "../schema/evidence.ts";
import { yearsText } from "./format.ts";
import { partsText } from "./taken-over.ts";

/** Constant words about what a model is not. */
export const caution =
  "A model, not medical advice. Whether a person may have a balloon, and how it is placed and removed, is for licensed clinicians and the device's approved instructions. Local guidelines on economic evaluation and local tariffs prevail.";

/** Said wherever a value is invented. */
export const inventedCaution = "Demo data are invented.";

/** True where a source is the word `invented`. */
export function isInvented(source: Source): boolean {
  return source === "invented";
}

/** True where any input or table of the case is invented. */
export function hasInvented(program: Program): boolean {
  const tables = Object.values(program.scenario.data.tables ?? {});
  const ofMoney = (money: MoneyWay | null): boolean => money?.steps.some(({ source }) => isInvented(source)) ?? false;
  return (
    program.components.some(({ source, money }) => isInvented(source) || ofMoney(money)) ||
    tables.some(({ source }) => source !== undefined && isInvented(source))
  );
}

/** What a reader must know of this case: the constant caution, invented data, and where it leaves its evidence. */
export function cautions(program: Program): readonly string[] {
  const { analysis, components } = program;
  const list = [hasInvented(program) ? `${caution} ${inventedCaution}` : caution];
  const { followUpYears, horizonYears } = analysis;
  if (followUpYears !== null && horizonYears > followUpYears * 1.000001) {
    list.push(
      `The evidence followed people for ${yearsText(followUpYears)}; results beyond that are extrapolated, to ${yearsText(horizonYears)}.`,
    );
  }
  const { jurisdiction } = program;
  const remembered = jurisdiction?.fills.filter((part) => jurisdiction.from_memory.includes(part)) ?? [];
  if (jurisdiction !== null && remembered.length > 0) {
    list.push(
      `The ${partsText(remembered)} stored for ${jurisdiction.label}, ${jurisdiction.year}, are from memory; check them against their source.`,
    );
  }
  const none = components.filter(
    ({ reported }) => reported.form === "share" && (reported.events === 0 || reported.events === reported.of),
  );
  if (none.length > 0)
    list.push(
      `No events, or only events, were observed where this was counted: ${[...new Set(none.map(({ input }) => program.inputs[input]!.label))].join("; ")}. The value rests on the prior.`,
    );
  return list;
}
