import { signal } from "@preact/signals";

const query = matchMedia("(min-width: 1100px)");

/** True where index and drawer stand beside the answers; else they are sheets. */
export const wide = signal(query.matches);

query.addEventListener("change", () => {
  wide.value = query.matches;
});
