import { computed, signal } from "@preact/signals";
import { type EvidenceText, evidenceFields } from "./evidence-fields.ts";
import { remember, remembered } from "./memory.ts";
import { opened } from "./workbench.ts";

/** Inputs that most readers ask for first, where a scenario has them. */
const usual = ["device_price", "loss_at_end", "regain"];

const chosen = signal<Readonly<Record<string, readonly string[]>>>(read());

function read(): Readonly<Record<string, readonly string[]>> {
  try {
    const kept: unknown = JSON.parse(remembered("pins") ?? "{}");
    return typeof kept === "object" && kept !== null ? (kept as Readonly<Record<string, readonly string[]>>) : {};
  } catch {
    return {};
  }
}

/** Names of the pinned inputs of the scenario on the page, in the order they were pinned. */
export const pins = computed<readonly string[]>(() => {
  const register = opened.value;
  if (register === null) return [];
  const names = register.inputs.map(({ name }) => name);
  const own = chosen.value[register.id]?.filter((name) => names.includes(name));
  if (own !== undefined) return own;
  // a value of a fitted course has no number to edit
  const editable = register.inputs
    .filter(({ evidence }) => evidenceFields(evidence as EvidenceText).length > 0)
    .map(({ name }) => name);
  const found = usual.filter((name) => editable.includes(name));
  return found.length > 0 ? found : editable.slice(0, 3);
});

function setPins(names: readonly string[]): void {
  const id = opened.value?.id;
  if (id === undefined) return;
  chosen.value = { ...chosen.value, [id]: names };
  remember("pins", JSON.stringify(chosen.value));
}

/** Pins an input; it then stands in the drawer. */
export function pin(name: string): void {
  if (!pins.value.includes(name)) setPins([...pins.value, name]);
}

/** Takes an input out of the drawer. */
export function unpin(name: string): void {
  setPins(pins.value.filter((other) => other !== name));
}
