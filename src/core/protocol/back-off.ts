const FIRST_MS = 250;
const LONGEST_MS = 8000;

/**
 * The pause before another attempt: a quarter of a second at first, doubled each time, eight seconds at most, and up to
 * a fifth less by chance, so that a hall full of phones doesn't reconnect all at once. For pages, and for Leeway's connection to a relay.
 *
 * @param failures how often it has failed in a row before
 * @param chance   0 to 1
 * @example toPauseMs(2, 0)  // 1000
 */
export function toPauseMs(failures: number, chance: number): number {
  return Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(failures, 10)) * (1 - 0.2 * chance);
}
