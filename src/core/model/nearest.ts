/** "; is … meant?" with the nearest of the known ids, where one is near enough to be a slip; else nothing. */
export function nearest(wrong: string, known: Iterable<string>): string {
  const distances = [...known].map((id) => ({ id, distance: editDistance(wrong, id) }));
  const best = distances.sort((a, b) => a.distance - b.distance)[0];
  return best && best.distance <= Math.max(2, wrong.length / 3) ? `; is ${best.id} meant?` : '';
}

/** Levenshtein distance: the fewest letters to put in, take out or change. */
function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const swap = (row[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      next.push(Math.min(swap, (row[j] ?? 0) + 1, (next[j - 1] ?? 0) + 1));
    }
    row = next;
  }
  return row[b.length] ?? 0;
}
