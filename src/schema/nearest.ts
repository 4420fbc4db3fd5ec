/**
 * The known names closest to a mistyped one, at most two, none farther than a third of its length plus one edit.
 * @example nearestNames("swalowed", ["swallowed", "endoscopic"]) // ["swallowed"]
 */
export function nearestNames(name: string, known: Iterable<string>): readonly string[] {
  const limit = Math.floor(name.length / 3) + 1;
  const scored = [...known]
    .map((candidate) => ({ candidate, distance: editDistance(name, candidate, limit) }))
    .filter(({ distance }) => distance <= limit && distance < name.length);
  scored.sort((a, b) => a.distance - b.distance || (a.candidate < b.candidate ? -1 : 1));
  const best = scored[0]?.distance;
  return scored
    .filter(({ distance }) => distance === best)
    .slice(0, 2)
    .map(({ candidate }) => candidate);
}

/** Levenshtein distance with neighbouring swaps counted as one edit (optimal string alignment); above `limit` any number above it. */
function editDistance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit || a.length > 100 || b.length > 100) return limit + 1;
  let before: number[] = [];
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let best = Math.min(previous[j]! + 1, row[j - 1]! + 1, previous[j - 1]! + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) best = Math.min(best, before[j - 2]! + 1);
      row.push(best);
    }
    before = previous;
    previous = row;
  }
  return previous[b.length]!;
}
