import { inputError, type Place } from "../errors.ts";

/** A table file: names of its columns, its rows of cells, all text, and the line of each row. */
export interface CsvTable {
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
  readonly lines: readonly number[];
}

const rowLimit = 200_000;

/**
 * Reads comma-separated text with a header line; `#` starts a comment line. Plain cells without quotes, as tables of
 * numbers need. Throws csv-shape at the line concerned.
 */
export function readCsv(text: string, file: string): CsvTable {
  const place = (line: number): Place => ({ file, line, column: 1, path: "" });
  const rows: string[][] = [];
  const lines: number[] = [];
  for (const [index, raw] of text
    .replace(/^\uFEFF/, "")
    .split(/\r?\n/)
    .entries()) {
    if (raw.trim() === "" || raw.startsWith("#")) continue;
    const cells = raw.split(",").map((cell) => cell.trim());
    if (rows.length === 0 && cells.length === 1 && raw.includes(";"))
      throw inputError(place(index + 1), "csv-shape", "semicolons separate its cells");
    if (rows.length > 0 && cells.length !== rows[0]!.length) {
      throw inputError(place(index + 1), "csv-shape", `${cells.length} cells where the header has ${rows[0]!.length}`);
    }
    rows.push(cells);
    lines.push(index + 1);
    if (rows.length > rowLimit) throw inputError(place(index + 1), "csv-shape", `more than ${rowLimit} rows`);
  }
  const [header, ...data] = rows;
  if (header === undefined || data.length === 0) throw inputError(place(1), "csv-shape", "it holds no rows");
  return { header, rows: data, lines: lines.slice(1) };
}

/** A cell of a line as a number. Throws csv-shape. */
export function csvNumber(cell: string, file: string, line: number): number {
  const value = cell === "" ? Number.NaN : Number(cell);
  if (!Number.isFinite(value)) {
    throw inputError(
      { file, line, column: 1, path: "" },
      "csv-shape",
      `${cell === "" ? "an empty cell" : cell} is not a number`,
    );
  }
  return value;
}
