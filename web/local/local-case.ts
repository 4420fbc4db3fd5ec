import { changedCase } from "../../src/schema/changed-case.ts";
import { bundleFiles } from "../../src/schema/files.ts";
import { ParsedTexts } from "../../src/schema/parsed-texts.ts";
import { inherited, type Legacy, openStudy, readyRows, type Study } from "../../src/study.ts";
import type { CaseTexts, Changes } from "../api.ts";
import { kernels } from "./kernels.ts";

/** A study with what was made ready for its rows, kernels included. */
export interface LocalStudy {
  readonly study: Study;
  readonly ready: () => ReturnType<typeof readyRows>;
  /** What it has from the study before it. */
  readonly legacy: Legacy;
  /** As `ready`, or what was made ready for a study of the same structure: for rows that are known to be good. */
  readonly readyLike: () => ReturnType<typeof readyRows>;
}

/** A scenario held as texts, opened with changes by the rule of the server. */
export class LocalCase {
  private readonly texts: CaseTexts;
  private readonly parsed = new ParsedTexts();
  private last: { readonly key: string; readonly opened: LocalStudy } | null = null;

  constructor(texts: CaseTexts) {
    this.texts = texts;
  }

  /** The study with changes laid over it; the last one is kept. Throws what `openStudy` throws. */
  open(changes: Changes): LocalStudy {
    const key = JSON.stringify(changes);
    if (this.last?.key === key) return this.last.opened;
    const plain = { files: bundleFiles(new Map(Object.entries(this.texts.files))), path: this.texts.path };
    const { files, path } = Object.keys(changes).length === 0 ? plain : changedCase(plain, { ...changes });
    const study = openStudy(files, path, this.parsed);
    let made: ReturnType<typeof readyRows> | undefined;
    const ready = (): ReturnType<typeof readyRows> => {
      made ??= readyRows(study, kernels.instantiate);
      return made;
    };
    const before = this.last?.opened;
    const legacy = inherited(study, before?.legacy ?? null);
    const readyLike = before?.legacy === legacy ? before.readyLike : ready;
    this.last = { key, opened: { study, ready, legacy, readyLike } };
    return this.last.opened;
  }
}
