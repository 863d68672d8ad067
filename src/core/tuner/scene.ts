import type { Candidate, Surroundings } from './candidates.js';
import type { WholeCost } from './joint-choice.js';
import type { Decider } from './note.js';

/**
 * What was there before a strike, heard once at its first note: the notes of the strike are all measured against the same
 * surroundings, in whatever order they arrive. Void as soon as a settled note ends or another one settles.
 */
export interface Scene {
  surroundings: Surroundings;
  /** Candidates already ranked, by key class. */
  readonly candidates: (readonly Candidate[] | undefined)[];
  /** Coming back elsewhere has its price on the whole choice, by where it is then anchored, and not on each candidate. */
  readonly isAnchored: boolean;
  /** That price, once it was asked for. */
  anchorCost: WholeCost | undefined;
  readonly deciders: readonly Decider[];
  /** Nothing was ever heard before. */
  readonly isEmpty: boolean;
  /** Weight of the strongest memory: 0 where there is none. */
  readonly loudestMemory: number;
}
