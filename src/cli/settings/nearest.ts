/**
 * The word a person most likely meant, or undefined if none is near: fewer than half of its letters may be wrong.
 *
 * @example findNearest('anchord', ['free', 'pull', 'anchored'])  // 'anchored'
 */
export function findNearest(word: string, choices: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Infinity;
  for (const choice of choices) {
    const edits = countEdits(word.toLowerCase(), choice.toLowerCase());
    if (edits < least && edits <= Math.max(1, Math.floor(choice.length / 2))) {
      best = choice;
      least = edits;
    }
  }
  return best;
}

/** Edits from one word to the other: letters inserted, deleted or replaced (Levenshtein). */
function countEdits(from: string, to: string): number {
  if (Math.abs(from.length - to.length) > 20) return Infinity;
  let row = Array.from({ length: to.length + 1 }, (_, i) => i);
  for (let i = 1; i <= from.length; i++) {
    const next = [i];
    for (let j = 1; j <= to.length; j++) {
      const changed = row[j - 1] + (from[i - 1] === to[j - 1] ? 0 : 1);
      next.push(Math.min(changed, row[j] + 1, next[j - 1] + 1));
    }
    row = next;
  }
  return row[to.length];
}
