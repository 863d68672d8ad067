/**
 * The word a person most likely meant, or undefined if none is near. One letter may be wrong, and more of a long word.
 *
 * @param most the part of a word's letters that may be wrong
 * @example findNearest('anchord', ['free', 'pull', 'anchored'])  // 'anchored'
 */
export function findNearest(word: string, choices: readonly string[], most = 1 / 2): string | undefined {
  let best: string | undefined;
  let least = Infinity;
  for (const choice of choices) {
    const edits = countEdits(word.toLowerCase(), choice.toLowerCase());
    if (edits < least && edits <= Math.max(1, Math.floor(choice.length * most))) {
      best = choice;
      least = edits;
    }
  }
  return best;
}

/**
 * Edits from one word to the other: letters inserted, deleted, replaced, or swapped with the next (optimal string
 * alignment, after Damerau and Levenshtein).
 */
function countEdits(from: string, to: string): number {
  if (Math.abs(from.length - to.length) > 20) return Infinity;
  let before: number[] = [];
  let row = Array.from({ length: to.length + 1 }, (_, i) => i);
  for (let i = 1; i <= from.length; i++) {
    const next = [i];
    for (let j = 1; j <= to.length; j++) {
      const changed = row[j - 1] + (from[i - 1] === to[j - 1] ? 0 : 1);
      const isSwapped = i > 1 && j > 1 && from[i - 1] === to[j - 2] && from[i - 2] === to[j - 1];
      const swapped = isSwapped ? before[j - 2] + 1 : Infinity;
      next.push(Math.min(changed, row[j] + 1, next[j - 1] + 1, swapped));
    }
    before = row;
    row = next;
  }
  return row[to.length];
}
