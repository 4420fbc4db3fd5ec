/** The name in lines of about `width` characters. */
export function brokenName(name: string, width = 18): readonly string[] {
  const lines: string[] = [];
  for (const word of name.split(" ")) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + 1 + word.length <= width) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word);
  }
  return lines;
}

/** As `brokenName`, with at most so many lines; what is left out is told by three dots. */
export function shortName(name: string, width: number, lines: number): readonly string[] {
  const all = brokenName(name, width);
  return all.length <= lines ? all : [...all.slice(0, lines - 1), `${all[lines - 1]!}…`];
}
