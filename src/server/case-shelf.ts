import { type CaseCopy, copied } from "../host/case-copy.ts";
import { runSize } from "../report/run-size.ts";
import type { FileSource } from "../schema/files.ts";
import { type CaseTitle, caseTitle } from "../schema/load.ts";
import { ParsedTexts } from "../schema/parsed-texts.ts";
import { openStudy, type Study } from "../study.ts";

/** A scenario ready to run here, and what another thread needs to open the same. */
export interface OpenedCase extends Study {
  readonly copy: CaseCopy;
}

/** Opened cases, the last few kept as long as the texts they were made from stay the same. */
export interface CaseShelf {
  /** A scenario ready to run. Throws what `openStudy` throws. */
  open(files: FileSource, path: string): OpenedCase;
  /** The texts that a scenario is made from, by path. Throws what `openStudy` throws. */
  texts(files: FileSource, path: string): Readonly<Record<string, string>>;
  /** What a scenario says of itself. */
  title(files: FileSource, path: string): CaseTitle;
}

const studyLimit = 6;
// states x cycles x strategies; above it an opened case is too heavy to keep
const keptSize = 500_000;
const titleLimit = 1000;

/** An empty shelf. */
export function caseShelf(): CaseShelf {
  let kept: readonly OpenedCase[] = [];
  const parsed = new ParsedTexts();
  const titles = new Map<string, { readonly text: string | undefined; readonly title: CaseTitle }>();
  const opened = (files: FileSource, path: string): OpenedCase => {
    const listed = files.list().join("\n");
    const isSame = ({ copy }: OpenedCase): boolean =>
      copy.path === path &&
      copy.listed.join("\n") === listed &&
      [...copy.texts].every(([file, text]) => files.read(file) === text);
    const found = kept.find(isSame);
    const one = found ?? openedCase(files, path, parsed);
    if (runSize(one.program, one.expansion).traced <= keptSize)
      kept = [one, ...kept.filter((other) => other !== found)].slice(0, studyLimit);
    return one;
  };
  return {
    open: opened,
    texts(files, path) {
      const { texts } = opened(files, path).copy;
      return Object.fromEntries([...texts].flatMap(([file, text]) => (text === undefined ? [] : [[file, text]])));
    },
    title(files, path) {
      const text = files.read(path);
      const known = titles.get(path);
      if (known !== undefined && known.text === text) return known.title;
      const title = caseTitle(files, path);
      if (titles.size >= titleLimit) titles.clear();
      titles.set(path, { text, title });
      return title;
    },
  };
}

function openedCase(files: FileSource, path: string, parsed: ParsedTexts): OpenedCase {
  const { opened, copy } = copied(files, path, (source, scenario) => openStudy(source, scenario, parsed));
  return { ...opened, copy };
}
