import { opened } from "./workbench.ts";

/** A strategy as it is called inside a sentence; its id where the scenario is not known. */
export function calledOf(id: string): string {
  return opened.value?.strategies.find((one) => one.id === id)?.called ?? id;
}
