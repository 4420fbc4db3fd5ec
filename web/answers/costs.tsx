import { answerTables } from "../../src/report/answer-tables.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { Answer } from "./answer.tsx";
import { BearerPicture } from "./bearer-picture.tsx";
import { DataTable } from "./data-table.tsx";
import { LinePicture } from "./line-picture.tsx";

/** What does it cost? */
export function Costs({ document }: { readonly document: ResultDocument }) {
  const tables = answerTables(document, "costs");
  return (
    <Answer question="costs" headline={document.answers.costs.headline} document={document}>
      <LinePicture document={document} />
      {tables.slice(0, 1).map(({ title, ...table }) => (
        <DataTable key={title} title={title} table={table} />
      ))}
      <BearerPicture document={document} />
      {tables.slice(1).map(({ title, ...table }) => (
        <DataTable key={title} title={title} table={table} />
      ))}
    </Answer>
  );
}
