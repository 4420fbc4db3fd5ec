/** A table for a terminal: a header and rows of cells; numbers align right, words left. */
export interface TextTable {
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** The table as lines, columns padded to their widest cell; the first column left, the others right. */
export function tableText(table: TextTable): string {
  const all = [table.header, ...table.rows];
  const widths = table.header.map((_, column) => Math.max(...all.map((row) => (row[column] ?? "").length)));
  // figures align right; a column with words in it aligns left
  const leftColumn = (column: number): boolean =>
    column === 0 || table.rows.some((row) => !/^([−-]?\d|under |over |$)/.test(row[column] ?? ""));
  const line = (row: readonly string[]): string =>
    row
      .map((cell, column) => (leftColumn(column) ? cell.padEnd(widths[column]!) : cell.padStart(widths[column]!)))
      .join("  ")
      .trimEnd();
  const rule = widths.map((width) => "-".repeat(width)).join("  ");
  return [line(table.header), rule, ...table.rows.map(line)].map((text) => `  ${text}`).join("\n");
}
