const [begin, end] = ["<!-- bench -->", "<!-- /bench -->"];

/** A readme with the text between its marks of the bench replaced, as a block of plain text. Throws where it has no marks. */
export function withTables(readme: string, text: string): string {
  const [from, to] = [readme.indexOf(begin), readme.indexOf(end)];
  if (from < 0 || to < from) throw new Error(`no ${begin} and ${end} in the readme`);
  return `${readme.slice(0, from + begin.length)}\n\`\`\`\n${text}\n\`\`\`\n${readme.slice(to)}`;
}
