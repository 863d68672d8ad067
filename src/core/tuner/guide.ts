import type { PrimeVector } from '../theory/index.js';

/**
 * Decisions made beforehand from the whole piece. A tuner with a guide asks it before choosing itself; everything else
 * is unchanged. Notes are counted from 0 as they are struck.
 */
export interface Guide {
  /** The lattice point of a note, octaves and primes above 5 left out; undefined: the tuner chooses. */
  frameOf(noteId: number): PrimeVector | undefined;
  /** Its point with those primes, if it differs. */
  pointOf(noteId: number): PrimeVector | undefined;
  /**
   * The common offset from the strike of a note on, in cents; undefined: by the strategy.
   * @param beforeCents the offset before that strike
   */
  offsetOf(noteId: number, beforeCents: number): number | undefined;
  /** Whether a sounding note is about to end as another is struck: then it keeps its pitch, whatever moves. */
  isLeaving(noteId: number, struckId: number): boolean;
}
