import type { PrimeVector } from '../theory/index.js';

/** Where a key class was last heard, and when it ended. */
export interface Recollection {
  readonly point: PrimeVector;
  readonly key: number;
  readonly endedMs: number;
}

/** The latest ended note of each key class. Index 0..11. */
export type Memory = (Recollection | undefined)[];

/** An empty memory. */
export function createMemory(): Memory {
  return new Array<Recollection | undefined>(12).fill(undefined);
}

/** Stores a note that just ended as the latest of its key class. */
export function remember(
  memory: Memory,
  keyClass: number,
  key: number,
  point: PrimeVector,
  endedMs: number,
): void {
  // A new object each time: reasons given later need the old ones.
  memory[keyClass] = { point, key, endedMs };
}
