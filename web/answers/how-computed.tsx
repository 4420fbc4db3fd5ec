import { basisNote } from "../../src/report/basis-note.ts";
import { countText, listText, yearsText } from "../../src/report/format.ts";
import { methodNotes } from "../../src/report/method-notes.ts";
import type { QuestionId, ResultDocument } from "../../src/report/result.ts";
import { conversionsText, jurisdictionText } from "../../src/report/taken-over.ts";
import type { Settings } from "../../src/schema/scenario.ts";
import { calledOf } from "../called.ts";
import { opened } from "../workbench.ts";
import { Fold } from "./fold.tsx";

/** The rules behind an answer, what was run, and its seal. */
export function HowComputed({
  question,
  document,
}: {
  readonly question: QuestionId;
  readonly document: ResultDocument;
}) {
  const { meta, answers } = document;
  const settings = opened.value?.effective.settings;
  const rows: readonly (readonly [string, string])[] = [
    ["Perspective", answers.costs.perspective === "all" ? "all costs counted" : answers.costs.perspective],
    ["Horizon", `${yearsText(answers.compared.horizonYears)}, in cycles of ${yearsText(answers.compared.cycleYears)}`],
    ...(settings === undefined ? [] : settingRows(settings)),
    ...row("Taken over", jurisdictionText(opened.value?.jurisdiction ?? null)),
    ...row("Money converted", conversionsText(settings?.money?.conversions)),
    ["Inputs", meta.draws > 0 && basisNote(document, question) === null ? drawsText(document) : "base values, one run"],
    ["Model", `${meta.model}, Steelyard ${meta.version}`],
    ["Hash", meta.hash],
  ];
  return (
    <Fold title="How this was computed">
      {methodNotes[question].map((note) => (
        <p key={note}>{note}</p>
      ))}
      <dl class="facts">
        {rows.map(([term, text]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd class={term === "Hash" ? "hash" : undefined}>{text}</dd>
          </div>
        ))}
      </dl>
      {meta.warnings.length === 0 ? null : (
        <ul class="warnings">
          {meta.warnings.map(({ key, text }) => (
            <li key={key}>
              {labelOf(key)}: {text}
            </li>
          ))}
        </ul>
      )}
    </Fold>
  );
}

/** The label of the input that a key such as `price[new]` names; the key itself where the scenario is not known. */
function labelOf(key: string): string {
  const name = key.replace(/\[.*$/, "");
  return opened.value?.inputs.find((input) => input.name === name)?.label ?? key;
}

function row(term: string, text: string | null): readonly (readonly [string, string])[] {
  return text === null ? [] : [[term, text]];
}

function drawsText({ meta }: ResultDocument): string {
  return `${countText(meta.draws)} draws, ${meta.design ?? "plain"}, seed ${meta.seed ?? ""}`;
}

function settingRows(settings: Settings): readonly (readonly [string, string])[] {
  const { discount, thresholds, counting, events_at: eventsAt, reference, money } = settings;
  const rate = (given: NonNullable<NonNullable<Settings["discount"]>["costs"]> | undefined): string => {
    if (given === undefined) return "none";
    if (!Array.isArray(given)) return String(given);
    return listText(given.map(({ rate: one, after }) => (after === undefined ? `${one}` : `${one} after ${after}`)));
  };
  return [
    [
      "Discounting",
      `costs ${rate(discount?.costs)}, effects ${rate(discount?.effects)}, ${discount?.timing === "whole years" ? "by whole years" : "at the exact time"}`,
    ],
    ["Counting rule", typeof counting === "object" ? "weights as given" : `${counting ?? "middle"} of each cycle`],
    ...(eventsAt === undefined ? [] : ([["Events at", `${eventsAt} of their cycle`]] as const)),
    ...(thresholds === undefined ? [] : ([["Thresholds", listText(thresholds.map(String))]] as const)),
    ...(reference === undefined ? [] : ([["Compared with", calledOf(reference)]] as const)),
    ...(money === undefined
      ? []
      : ([["Prices", `${money.unit}${money.price_year === undefined ? "" : ` of ${money.price_year}`}`]] as const)),
  ];
}
