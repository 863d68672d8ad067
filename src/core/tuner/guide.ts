import type { PrimeVector } from '../theory/index.js';

/**
 * Decisions made beforehand, by one who knows the whole piece. A tuner that has a guide asks it instead of choosing for
 * itself; everything else goes on as ever. Notes are counted from 0 as they are struck.
 */
export interface Guide {
  /** Where a note stands on the lattice, octaves and primes above 5 left out; undefined: the tuner chooses. */
  frameOf(noteId: number): PrimeVector | undefined;
  /** Where it stands with those primes, if that is elsewhere. */
  pointOf(noteId: number): PrimeVector | undefined;
  /**
   * Where the common offset stands from the strike of a note on, in cents; undefined: as the strategy has it.
   * @param beforeCents where it stood before that strike
   */
  offsetOf(noteId: number, beforeCents: number): number | undefined;
  /** Whether a note that sounds is about to end as another is struck: then it keeps its pitch, whatever moves. */
  isLeaving(noteId: number, struckId: number): boolean;
}
