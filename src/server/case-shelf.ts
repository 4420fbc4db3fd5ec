import { runSize } from "../report/run-size.ts";
import type { FileSource } from "../schema/files.ts";
import { caseTitle } from "../schema/load.ts";
import { openStudy, type Study } from "../study.ts";

/** Opened cases, the last few kept as long as the texts they were made from stay the same. */
export interface CaseShelf {
  /** A scenario ready to run. Throws what `openStudy` throws. */
  open(files: FileSource, path: string): Study;
  /** The texts that a scenario is made from, by path. Throws what `openStudy` throws. */
  texts(files: FileSource, path: string): Readonly<Record<string, string>>;
  /** Id and description of a scenario. */
  title(files: FileSource, path: string): { readonly scenario: string; readonly about: string | null };
}

interface Kept {
  readonly path: string;
  readonly read: ReadonlyMap<string, string | undefined>;
  readonly listed: string;
  readonly study: Study;
}

const studyLimit = 6;
// states x cycles x strategies; above it an opened case is too heavy to keep
const keptSize = 500_000;
const titleLimit = 1000;

/** An empty shelf. */
export function caseShelf(): CaseShelf {
  let kept: readonly Kept[] = [];
  const titles = new Map<string, { readonly text: string | undefined; readonly title: ReturnType<typeof caseTitle> }>();
  const opened = (files: FileSource, path: string): Kept => {
    const listed = files.list().join("\n");
    const isSame = (one: Kept): boolean =>
      one.path === path && one.listed === listed && [...one.read].every(([file, text]) => files.read(file) === text);
    const found = kept.find(isSame);
    const one = found ?? { path, listed, ...recorded(files, path) };
    const { program, expansion } = one.study;
    if (runSize(program, expansion).traced <= keptSize)
      kept = [one, ...kept.filter((other) => other !== found)].slice(0, studyLimit);
    return one;
  };
  return {
    open: (files, path) => opened(files, path).study,
    texts(files, path) {
      const { read } = opened(files, path);
      return Object.fromEntries([...read].flatMap(([file, text]) => (text === undefined ? [] : [[file, text]])));
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

function recorded(files: FileSource, path: string): Pick<Kept, "read" | "study"> {
  const read = new Map<string, string | undefined>();
  const recording: FileSource = {
    read(file) {
      const text = files.read(file);
      read.set(file, text);
      return text;
    },
    list: () => files.list(),
  };
  return { study: openStudy(recording, path), read };
}
