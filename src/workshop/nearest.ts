/** Helps with slips of spelling: the known word nearest to a mistyped one. */

/** Edits (a letter put in, left out, changed, or two neighbours swapped) that turn one word into the other. */
export function editsBetween(a: string, b: string): number {
  const from = [...a.toLowerCase()];
  const to = [...b.toLowerCase()];
  let beforeLast: number[] = [];
  let last = to.map((_, j) => j);
  last.push(to.length);
  for (let i = 1; i <= from.length; i++) {
    const row = [i];
    for (let j = 1; j <= to.length; j++) {
      const changed = from[i - 1] === to[j - 1] ? 0 : 1;
      let least = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + changed);
      const swapped = i > 1 && j > 1 && from[i - 1] === to[j - 2] && from[i - 2] === to[j - 1];
      if (swapped) least = Math.min(least, (beforeLast[j - 2] ?? 0) + 1);
      row.push(least);
    }
    beforeLast = last;
    last = row;
  }
  return last[to.length] ?? 0;
}

/**
 * The known word nearest to a mistyped one.
 * @returns undefined when none is near: more than a third of its letters would have to change
 */
export function nearest(word: string, known: Iterable<string>): string | undefined {
  if (word.length > 80) return undefined;
  let best: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const edits = editsBetween(word, candidate);
    if (edits < least && edits <= Math.max(1, Math.floor(candidate.length / 3))) {
      best = candidate;
      least = edits;
    }
  }
  return best;
}

/** The hint that goes with an unknown word: the nearest known one, or all of them when they are few. */
export function nameHint(word: string, known: Iterable<string>): string | undefined {
  const all = [...known];
  const near = nearest(word, all);
  if (near !== undefined) return `did you mean \`${near}\`?`;
  if (all.length === 0 || all.length > 12) return undefined;
  return `known: ${all.join(', ')}`;
}
