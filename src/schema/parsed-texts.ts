import type { Document } from "./document.ts";
import type { Model } from "./model.ts";
import { type Located, parseText } from "./text.ts";

const mostFiles = 8;

/**
 * Parsed files, kept as long as their text stays the same: for those who open much the same case again and again. The
 * last few files are kept, so it never holds more than their texts allow.
 */
export class ParsedTexts {
  private readonly files = new Map<string, { readonly text: string; readonly root: Located }>();
  private readonly models = new WeakMap<Located, Document<Model>>();

  /** The located values of a file. Throws what `parseText` throws. */
  root(text: string, path: string): Located {
    const known = this.files.get(path);
    const found = known?.text === text ? known : { text, root: parseText(text, path) };
    // the file used last stands last
    this.files.delete(path);
    this.files.set(path, found);
    const [oldest] = this.files.keys();
    if (oldest !== undefined && this.files.size > mostFiles) this.files.delete(oldest);
    return found.root;
  }

  /** The model in a file's values, checked by `check` when they are new. Throws what it throws. */
  model(root: Located, check: (root: Located) => Document<Model>): Document<Model> {
    const known = this.models.get(root);
    if (known !== undefined) return known;
    const model = check(root);
    this.models.set(root, model);
    return model;
  }
}
