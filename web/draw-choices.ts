/** Numbers of draws that the page offers. */
export const drawChoices = [1000, 10_000] as const;
