import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

/** Something that covers the lower part of a narrow page while it is open; Escape and the button close it. */
export function Sheet({
  label,
  onClose,
  children,
}: {
  readonly label: string;
  readonly onClose: () => void;
  readonly children: ComponentChildren;
}) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  return (
    <dialog ref={dialog} class="sheet" aria-label={label} onClose={onClose}>
      <div class="sheet-head">
        <button type="button" class="quiet" onClick={() => dialog.current?.close()}>
          Close
        </button>
      </div>
      <div class="sheet-body">{children}</div>
    </dialog>
  );
}
