import type { ComponentChildren } from "preact";

/** Something that most readers need not see at once. */
export function Fold({ title, children }: { readonly title: string; readonly children: ComponentChildren }) {
  return (
    <details class="fold">
      <summary>{title}</summary>
      <div class="fold-body">{children}</div>
    </details>
  );
}
