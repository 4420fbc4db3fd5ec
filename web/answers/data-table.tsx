import { useId } from "preact/hooks";
import type { TextTable } from "../../src/report/table-text.ts";
import { useScrolling } from "./scrolling.ts";

/** A table with a caption; it scrolls sideways by itself where it is wider than its place, and then takes the focus. */
export function DataTable({ title, table }: { readonly title: string; readonly table: TextTable }) {
  const id = useId();
  const { frame, scrolls } = useScrolling();
  if (table.rows.length === 0) return null;
  const align = table.header.map((_, column) => (isFigures(table, column) ? "figures" : "words"));
  return (
    <div class="table-frame" ref={frame} {...(scrolls ? { role: "region", "aria-labelledby": id, tabIndex: 0 } : {})}>
      <table>
        <caption id={id}>
          <span>{title}</span>
        </caption>
        <thead>
          <tr>
            {table.header.map((name, column) => (
              <th key={name + String(column)} scope="col" class={align[column]}>
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row, i) => (
            <tr key={String(i)} class={row[0]?.startsWith("Total") ? "total" : undefined}>
              {row.map((cell, column) =>
                column === 0 ? (
                  <th key="row" scope="row" class={align[column]}>
                    {cell}
                  </th>
                ) : (
                  <td key={String(column)} class={align[column]}>
                    {cell}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** True for a column of figures, which align right; the first column and columns of words align left. */
function isFigures({ rows }: TextTable, column: number): boolean {
  const cells = rows.map((row) => row[column] ?? "").filter((cell) => cell !== "");
  return column > 0 && cells.some((cell) => /^[−-]?\d/.test(cell) || /\d%$/.test(cell));
}
