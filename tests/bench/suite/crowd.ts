/** A crowd leaves the keys from here up free, on every part. */
export const CROWD_KEYS = 125;
const FIRST_KEY = 28;

/** So many keys, each another one of its part; parts from 0, and 16 of them for 2 000 keys. All key classes are there from 12 on. */
export function toCrowd(count: number): { part: number; key: number }[] {
  return Array.from({ length: count }, (_, i) => {
    return { part: Math.floor(i / CROWD_KEYS), key: (FIRST_KEY + i) % CROWD_KEYS };
  });
}
