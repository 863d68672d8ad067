import type { PrimeVector } from '../theory/index.js';

/** Where a key class was last heard, and when it ended. */
export interface Recollection {
  point: PrimeVector;
  key: number;
  endedMs: number;
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
  const slot = memory[keyClass];
  if (slot === undefined) {
    memory[keyClass] = { point, key, endedMs };
  } else {
    slot.point = point;
    slot.key = key;
    slot.endedMs = endedMs;
  }
}
