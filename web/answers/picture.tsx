import type { ComponentChildren } from "preact";

/** A picture with the question it answers as its title; the choices between views of it stand beside the title. */
export function Picture({
  title,
  choices,
  children,
}: {
  readonly title: string;
  readonly choices?: ComponentChildren;
  readonly children: ComponentChildren;
}) {
  return (
    <figure class="picture">
      <figcaption>{title}</figcaption>
      {choices}
      {children}
    </figure>
  );
}
