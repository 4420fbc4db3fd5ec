/** A layout of draws. */
export type Design = "plain" | "stratified" | "quasi";

/** How draws are made: how many, from which seed, laid out how. */
export interface DrawSettings {
  readonly draws: number;
  readonly seed: string;
  readonly design: Design;
}

/** Numbers of draws that the page offers. */
export const drawChoices = [1000, 10_000, 100_000] as const;

/** Layouts of draws that the page offers, in words. */
export const designChoices: readonly { readonly id: Design; readonly label: string }[] = [
  { id: "plain", label: "plain" },
  { id: "stratified", label: "stratified" },
  { id: "quasi", label: "quasi-random" },
];

/** The layout of a name; plain for a name that is none. */
export function designOf(name: string | null | undefined): Design {
  return designChoices.find(({ id }) => id === name)?.id ?? "plain";
}

/** True where two settings give the same run; without draws, seed and layout do not matter. */
export function sameDraws(one: DrawSettings, other: DrawSettings): boolean {
  if (one.draws !== other.draws) return false;
  return one.draws === 0 || (one.seed === other.seed && one.design === other.design);
}
