import type { Program } from "../compile/program.ts";
import { unusedInputs } from "../compile/usage.ts";
import { type Laws, lawMean } from "../evidence/laws.ts";
import type { Component } from "../evidence/reported.ts";
import type { Source } from "../schema/evidence.ts";
import { reportedBase } from "./register.ts";
import type { TextTable } from "./table-text.ts";

/** Every input value with its base, its distribution, the distribution's mean and how far the two lie apart. */
export function inputsTable(program: Program, laws: Laws): TextTable {
  const anyMoney = program.components.some(({ money }) => money !== null);
  const rows = program.components.map((component, i): readonly string[] => {
    const drawing = laws.drawings[i]!;
    const mean = lawMean(drawing, component, laws.joints);
    const law = drawing.how === "law" ? drawing.law.family : drawing.how === "cell" ? "Dirichlet" : drawing.how;
    const spread = drawing.how === "law" || drawing.how === "cell";
    return [
      component.key,
      short(component.base),
      law,
      spread ? short(mean) : "",
      spread ? short(mean - component.base) : "",
      ...(anyMoney ? [moneyText(program, component)] : []),
      sourceText(component.source),
    ];
  });
  const header = [
    "Input value",
    "Base",
    "Distribution",
    "Its mean",
    "Difference",
    ...(anyMoney ? ["As reported"] : []),
  ];
  return { header: [...header, "Source"], rows };
}

/** `253 USD 2019 x 0.8912`: the value in the money it is reported in, and what it was multiplied by. */
function moneyText(program: Program, component: Component): string {
  const { money } = component;
  if (money === null) return "";
  return `${short(reportedBase(program.inputs[component.input]!, component))} ${money.from} x ${short(money.factor)}`;
}

const short = (value: number): string => String(Number(value.toPrecision(6)));

/** A source in a few words. */
export function sourceText(source: Source): string {
  if (typeof source === "string") return source;
  const words = [source.cite, source.note, source.same_as === undefined ? undefined : `as ${source.same_as}`];
  return words.filter((word) => word !== undefined).join(", ");
}

/** Inputs that no expression reads: nothing wrong, but worth a look. */
export function unreadInputs(program: Program): readonly string[] {
  return unusedInputs(program);
}
