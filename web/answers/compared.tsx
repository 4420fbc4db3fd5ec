import { answerTables } from "../../src/report/answer-tables.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { Answer } from "./answer.tsx";
import { DataTable } from "./data-table.tsx";
import { Pathways } from "./pathways.tsx";
import { Picture } from "./picture.tsx";
import { UseTable } from "./use-table.tsx";

/** What is compared, in whom? */
export function Compared({ document }: { readonly document: ResultDocument }) {
  const { compared } = document.answers;
  const tables = answerTables(document, "compared").slice(0, 2);
  return (
    <Answer question="compared" headline={compared.headline} document={document}>
      {document.meta.about === null ? null : <p class="about">{document.meta.about}</p>}
      {compared.strategies.every(({ steps }) => steps.length === 0) ? null : (
        <Picture title="What happens on each pathway?">
          <Pathways strategies={compared.strategies} />
        </Picture>
      )}
      <UseTable resources={compared.resources} strategies={compared.strategies} />
      {tables.map(({ title, ...table }) => (
        <DataTable key={title} title={title} table={table} />
      ))}
    </Answer>
  );
}
