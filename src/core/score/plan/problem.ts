import type { PrimeVector } from '../../theory/index.js';

/**
 * A slot heard before a strike: it still sounds, or its key class is remembered by it.
 */
export interface HeardSlot {
  readonly slot: number;
  readonly keyClass: number;
}

/** Where a key class sounds, or sounded last, before a strike. */
export interface LastSlot {
  readonly slot: number;
  /** 0 while a key holds it. */
  readonly ageSeconds: number;
}

/** Notes struck together, as the tuner takes them: what they are, and what they are measured against. */
export interface PlanStrike {
  readonly atMs: number;
  /** Its slots: `first` up to, but without, `end`; key classes ascending. */
  readonly first: number;
  readonly end: number;
  /** Everything heard or remembered before it. Empty for the first strike alone. */
  readonly context: readonly HeardSlot[];
  /** For each of its slots, where the key class was last. */
  readonly last: readonly (LastSlot | undefined)[];
  /** How much each slot (a row) counts against each of the context (a column): the tuner's weight, and for how long. */
  readonly heardWeights: Float64Array;
  /** How much each two of its slots (row, column) count together: how many pairs of notes, and for how long. */
  readonly pairWeights: Float64Array;
}

/** A key class of one strike: its notes, in whatever octave, stand at one point. It is what a plan decides on. */
export interface PlanSlot {
  readonly keyClass: number;
  readonly strike: number;
  /** How many notes. */
  readonly count: number;
}

/** A note of the piece, under the number the tuner gives it. */
export interface PlanNote {
  readonly slot: number;
  readonly key: number;
  readonly struckMs: number;
  readonly endedMs: number;
  /** The first strike that no longer hears it. */
  readonly until: number;
}

/**
 * A whole piece as one question: a point for every slot. What is heard before each strike, and when, doesn't depend on
 * the answer.
 */
export interface PlanProblem {
  readonly strikes: readonly PlanStrike[];
  readonly slots: readonly PlanSlot[];
  /** By the number of the note. */
  readonly notes: readonly PlanNote[];
  /** For each key class, the slot it first sounds in; -1 if it never does. */
  readonly firstSlots: readonly number[];
  /** The slots that sound at the last strike, as the ending of a piece is told: from the lowest key up. */
  readonly ending: readonly number[];
}

/** A point for every slot, octaves left out. */
export type PlanPath = readonly PrimeVector[];
