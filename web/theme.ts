import { computed, effect, signal } from "@preact/signals";
import { remember, remembered } from "./memory.ts";
import { type Palette, palettes, type Scheme } from "./palette.ts";

/** What the reader asked for; `system` follows the machine. */
export type SchemeChoice = "system" | Scheme;

const isChoice = (text: string | null): text is SchemeChoice =>
  text === "system" || text === "light" || text === "dark";

const stored = remembered("scheme");

/** The reader's choice of scheme. */
export const schemeChoice = signal<SchemeChoice>(isChoice(stored) ? stored : "system");

const systemDark = signal(false);
const printing = signal(false);

/** The scheme in force; paper is always light. */
export const scheme = computed<Scheme>(() => {
  if (printing.value) return "light";
  if (schemeChoice.value !== "system") return schemeChoice.value;
  return systemDark.value ? "dark" : "light";
});

/** The colours in force; paper is its own ground. */
export const palette = computed<Palette>(() =>
  printing.value ? { ...palettes.light, ground: "#FFFFFF" } : palettes[scheme.value],
);

/** Follows the machine's scheme and printing, and keeps the document's colours in step. Call once. */
export function followScheme(): void {
  const dark = matchMedia("(prefers-color-scheme: dark)");
  systemDark.value = dark.matches;
  dark.addEventListener("change", () => {
    systemDark.value = dark.matches;
  });
  const paper = matchMedia("print");
  printing.value = paper.matches;
  paper.addEventListener("change", () => {
    printing.value = paper.matches;
  });
  addEventListener("beforeprint", () => {
    printing.value = true;
  });
  addEventListener("afterprint", () => {
    printing.value = false;
  });
  effect(() => {
    const { style } = document.documentElement;
    const { ground, surface, ink, muted, line, zero, strategies } = palette.value;
    style.colorScheme = scheme.value;
    for (const [name, colour] of Object.entries({ ground, surface, ink, muted, line, zero, accent: strategies[0]! }))
      style.setProperty(`--${name}`, colour);
  });
}

/** Chooses a scheme and remembers it. */
export function chooseScheme(choice: SchemeChoice): void {
  schemeChoice.value = choice;
  remember("scheme", choice);
}
