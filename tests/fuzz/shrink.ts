/** Most tries; each runs the target once. */
const MOST_TRIES = 3000;

/**
 * A smaller input of which something still holds: pieces are cut out, large ones first, and then bytes put to zero.
 *
 * @param holds of the input itself, it does
 * @example shrink(Uint8Array.of(1, 2, 3, 4), (bytes) => bytes.includes(3))  // [3]
 */
export function shrink(
  input: Uint8Array,
  holds: (input: Uint8Array) => boolean,
  mostTries = MOST_TRIES,
): Uint8Array {
  let best = input;
  let tries = 0;
  const attempt = (candidate: Uint8Array): boolean => {
    if (++tries > mostTries || !holds(candidate)) return false;
    best = candidate;
    return true;
  };
  for (let before = -1; before !== best.length && tries < mostTries; ) {
    before = best.length;
    for (let size = Math.max(1, best.length >> 1); size >= 1; size >>= 1) {
      for (let at = 0; at + size <= best.length; ) {
        const shorter = new Uint8Array(best.length - size);
        shorter.set(best.subarray(0, at));
        shorter.set(best.subarray(at + size), at);
        if (!attempt(shorter)) at += size;
      }
    }
  }
  for (let at = 0; at < best.length && tries < mostTries; at++) {
    if (best[at] === 0) continue;
    const plainer = best.slice();
    plainer[at] = 0;
    attempt(plainer);
  }
  return best;
}
