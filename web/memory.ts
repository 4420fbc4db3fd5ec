// Small things that the browser keeps for the reader. A browser that refuses storage keeps nothing, and nothing fails.

const prefix = "steelyard.";

/** What was remembered under a name, or null. */
export function remembered(name: string): string | null {
  try {
    return localStorage.getItem(prefix + name);
  } catch {
    return null;
  }
}

/** Remembers a text under a name where the browser lets it. */
export function remember(name: string, text: string): void {
  try {
    localStorage.setItem(prefix + name, text);
  } catch {
    // a private window without storage: the choice lasts as long as the page
  }
}
