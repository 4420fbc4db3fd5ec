import { answerTables } from "../../src/report/answer-tables.ts";
import type { ResultDocument } from "../../src/report/result.ts";
import { Answer } from "./answer.tsx";
import { CurvePicture } from "./curve-picture.tsx";
import { DataTable } from "./data-table.tsx";
import { MembershipPicture } from "./membership-picture.tsx";

/** Does it work as well? */
export function Works({ document }: { readonly document: ResultDocument }) {
  const { works, compared } = document.answers;
  return (
    <Answer question="works" headline={works.headline} document={document}>
      <CurvePicture document={document} />
      <MembershipPicture series={works.membership} strategies={compared.strategies} />
      {answerTables(document, "works").map(({ title, ...table }) => (
        <DataTable key={title} title={title} table={table} />
      ))}
    </Answer>
  );
}
