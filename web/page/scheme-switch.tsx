import { chooseScheme, type SchemeChoice, schemeChoice } from "../theme.ts";

const next: Readonly<Record<SchemeChoice, SchemeChoice>> = { system: "light", light: "dark", dark: "system" };
const words: Readonly<Record<SchemeChoice, string>> = { system: "auto", light: "light", dark: "dark" };

/** Light, dark, or as the system says. */
export function SchemeSwitch() {
  const choice = schemeChoice.value;
  return (
    <button type="button" class="quiet scheme-switch" onClick={() => chooseScheme(next[choice])}>
      Colours: {words[choice]}
    </button>
  );
}
