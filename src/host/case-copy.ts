import type { FileSource } from "../schema/files.ts";

/** Everything that was read to open a case, so that another thread can open the same. */
export interface CaseCopy {
  /** Tells copies apart within this process; the same copy always has the same texts. */
  readonly id: number;
  readonly path: string;
  /** What was found at each path that was asked for; undefined where there was nothing. */
  readonly texts: ReadonlyMap<string, string | undefined>;
  readonly listed: readonly string[];
}

let copies = 0;

/** What `open` makes of a scenario file, with a copy of all it read. Throws what `open` throws. */
export function copied<T>(
  files: FileSource,
  path: string,
  open: (files: FileSource, path: string) => T,
): { readonly opened: T; readonly copy: CaseCopy } {
  const texts = new Map<string, string | undefined>();
  const recording: FileSource = {
    read(file) {
      const text = files.read(file);
      texts.set(file, text);
      return text;
    },
    list: () => files.list(),
  };
  const opened = open(recording, path);
  copies += 1;
  return { opened, copy: { id: copies, path, texts, listed: files.list() } };
}

/** The files of a copy. */
export function copyFiles({ texts, listed }: CaseCopy): FileSource {
  return { read: (path) => texts.get(path), list: () => listed };
}
