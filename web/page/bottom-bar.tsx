import { useState } from "preact/hooks";
import type { ResultDocument } from "../../src/report/result.ts";
import { WhatIf } from "../what-if/what-if.tsx";
import { edits } from "../workbench.ts";
import { QuestionIndex } from "./question-index.tsx";
import { Sheet } from "./sheet.tsx";

/** On narrow pages: opens the index and the drawer as sheets. */
export function BottomBar({ document }: { readonly document: ResultDocument | null }) {
  const [open, setOpen] = useState<"questions" | "what if" | null>(null);
  const close = (): void => setOpen(null);
  const changed = Object.keys(edits.value).length;
  return (
    <>
      <nav class="bottom-bar" aria-label="Sheets">
        <button type="button" aria-haspopup="dialog" onClick={() => setOpen("questions")}>
          Questions
        </button>
        <button type="button" aria-haspopup="dialog" onClick={() => setOpen("what if")}>
          What if{changed === 0 ? "" : ` (${changed})`}
        </button>
      </nav>
      {open === "questions" ? (
        <Sheet label="The questions" onClose={close}>
          <QuestionIndex document={document} onFollow={close} />
        </Sheet>
      ) : null}
      {open === "what if" ? (
        <Sheet label="What if" onClose={close}>
          <WhatIf onRun={close} />
        </Sheet>
      ) : null}
    </>
  );
}
