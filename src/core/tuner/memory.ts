import type { PrimeVector } from '../theory/index.js';

/** Where a key class was last heard, and when it ended. */
export interface Recollection {
  readonly point: PrimeVector;
  readonly key: number;
  readonly endedMs: number;
}

/** What the tuner remembers of notes that have ended: the latest of each key class. Index 0..11. */
export type Memory = (Recollection | undefined)[];

/** An empty memory. */
export function createMemory(): Memory {
  return new Array<Recollection | undefined>(12).fill(undefined);
}

/** Keeps a note that just ended as the latest of its key class. */
export function remember(
  memory: Memory,
  keyClass: number,
  key: number,
  point: PrimeVector,
  endedMs: number,
): void {
  // A new one each time: reasons to be given later keep the old ones.
  memory[keyClass] = { point, key, endedMs };
}
