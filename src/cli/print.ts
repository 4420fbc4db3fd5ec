import { answerTables } from "../report/answer-tables.ts";
import { type QuestionId, questions, type ResultDocument } from "../report/result.ts";
import { tableText } from "../report/table-text.ts";

/** One answer for a terminal: the question, the sentence, the tables. */
export function answerLines(document: ResultDocument, question: QuestionId): string {
  const title = questions.find(({ id }) => id === question)?.title ?? question;
  const answer = document.answers[question];
  if (answer === undefined) return `${title}\n\n  No draws were run; run with --draws to answer this.\n`;
  const { headline } = answer;
  const tables = answerTables(document, question).filter((table) => table.rows.length > 0);
  const parts = [title, "", `  ${wrapped(headline, 96).join("\n  ")}`];
  for (const table of tables) parts.push("", `  ${table.title}`, tableText(table));
  return `${parts.join("\n")}\n`;
}

/** The head of a printed result: what was run and what to keep in mind. */
export function headLines(document: ResultDocument): string {
  const { meta } = document;
  const run = meta.draws > 0 ? `${meta.draws} draws, ${meta.design}, seed ${meta.seed}` : "base case";
  const lines = [`${meta.scenario} (${meta.model}): ${run}${meta.invented ? "; invented data" : ""}`];
  if (meta.about !== null) lines.push(...wrapped(meta.about, 96));
  return `${lines.join("\n")}\n`;
}

/** The cautions and the seal at the foot. */
export function footLines(document: ResultDocument): string {
  const lines = document.meta.cautions.flatMap((text) => wrapped(text, 96));
  return `${lines.join("\n")}\nhash ${document.meta.hash}\n`;
}

/** Text in lines of at most `width` characters, broken at spaces. */
export function wrapped(text: string, width: number): readonly string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(/\s+/)) {
    if (line !== "" && line.length + 1 + word.length > width) {
      lines.push(line);
      line = word;
    } else line = line === "" ? word : `${line} ${word}`;
  }
  return line === "" ? lines : [...lines, line];
}
