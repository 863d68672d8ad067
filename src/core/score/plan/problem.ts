import type { PrimeVector } from '../../theory/index.js';

/**
 * A slot heard before a strike: it still sounds, or its key class is remembered by it.
 */
export interface HeardSlot {
  readonly slot: number;
  readonly keyClass: number;
  /** How long ago its key came up; 0 while it is down. */
  readonly ageSeconds: number;
  /** How much an impure consonance with it counts. */
  readonly binding: number;
}

/** Where a key class sounds, or last sounded, before a strike. */
export interface LastSlot {
  readonly slot: number;
  /** 0 while a key holds it. */
  readonly ageSeconds: number;
}

/** Notes struck together, and what they are measured against. */
export interface PlanStrike {
  readonly atMs: number;
  /** Its slots: `first` up to, but without, `end`; key classes ascending. */
  readonly first: number;
  readonly end: number;
  /** Everything heard or remembered before it, what counts most first. Empty for the first strike alone. */
  readonly context: readonly HeardSlot[];
  /** For each of its slots, the last slot of the key class. */
  readonly last: readonly (LastSlot | undefined)[];
}

/** A key class of one strike: its notes, in any octave, have one point. A plan decides on slots. */
export interface PlanSlot {
  readonly keyClass: number;
  readonly strike: number;
  /** Its place on the line of fifths, from the tonic. */
  readonly fifths: number;
  /** How many notes it has, those that can't be tuned left out: they come back at their pitch, whatever the ratio. */
  readonly count: number;
}

/** A note of the piece, under the id the tuner gives it. */
export interface PlanNote {
  readonly slot: number;
  readonly key: number;
  readonly struckMs: number;
  readonly endedMs: number;
  /** The first strike into which it isn't held: it has ended, or is about to. */
  readonly until: number;
  /** The pitch of a note that can't be tuned, on the scale of MIDI keys; undefined for all others. */
  readonly fixedCents: number | undefined;
}

/**
 * A whole piece as one question: a point for every slot. What is heard before each strike, and when, doesn't depend on
 * the answer.
 */
export interface PlanProblem {
  readonly strikes: readonly PlanStrike[];
  readonly slots: readonly PlanSlot[];
  /** By id of the note. */
  readonly notes: readonly PlanNote[];
  /** For each key class, the slot it first sounds in; -1 if it never does. */
  readonly firstSlots: readonly number[];
  /** The slots sounding at the last strike, from the lowest key up: the ending of the piece. */
  readonly ending: readonly number[];
}

/** A point for every slot, octaves left out. */
export type PlanPath = readonly PrimeVector[];
