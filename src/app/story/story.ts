import { LIMITS, TEMPO_RANGE, TUNINGS, type Tuning, VIEWS, type View } from '../../core/protocol/index.js';
import type { NamedPiece } from '../live/piece-stretch.js';

/** How a step has its piece: playing, standing still with its first chord, or silent. */
export const PLAYS = ['on', 'chord', 'no'] as const;
export type Play = (typeof PLAYS)[number];

/** What a step starts anew, without drift. */
export interface StoryMusic {
  /** A formula is built when its step begins, on the tonic of then. */
  readonly piece: NamedPiece | { readonly formula: string };
  /** Its first and last bar, from 1; `undefined`: the whole piece. */
  readonly bars: readonly [number, number] | undefined;
  readonly tempo: number;
  /** How many passes are played; `undefined`: round and round. */
  readonly passes: number | undefined;
}

/** A step of a story. */
export interface StoryStep {
  readonly sentence: string;
  /** `undefined`: what plays goes on. */
  readonly music: StoryMusic | undefined;
  /** `undefined`: it goes on as it is. */
  readonly play: Play | undefined;
  /** What is heard: one tuning, or by turns, pass by pass; none: as it is. */
  readonly hear: readonly Tuning[];
  readonly show: View;
  /** The tunings whose curves are shown; empty: all. */
  readonly only: readonly Tuning[];
}

/** A story: what a lecturer says and shows, step by step. */
export interface Story {
  /** Its name too. */
  readonly title: string;
  readonly steps: readonly StoryStep[];
}

/** Longest sentence, in characters. */
export const MOST_SENTENCE = 300;
/** Most passes a step may play. */
export const MOST_PASSES = 100;

const tunings = TUNINGS.join(', ');

/** Keys of a step: what each does, and what it takes. */
export const STEP_KEYS = {
  sentence: { does: 'what is said', takes: `up to ${MOST_SENTENCE} characters` },
  piece: {
    does: 'starts a piece, without drift',
    takes: 'the name of a built-in piece, or of a MIDI file beside the story',
  },
  formula: { does: 'starts a comma pump instead', takes: 'as for `leeway pump`' },
  bars: { does: 'only these bars of it', takes: '"3", or "1-4"' },
  tempo: {
    does: 'how fast, in times the written tempo',
    takes: `${TEMPO_RANGE.least} to ${TEMPO_RANGE.most}`,
  },
  passes: { does: 'how often it is played; round and round if left out', takes: `1 to ${MOST_PASSES}` },
  play: { does: 'whether it plays, pauses at its first chord, or not', takes: `${PLAYS.join(', ')}` },
  hear: { does: 'the tuning that is heard; of a list, by turns with each pass', takes: tunings },
  show: { does: 'what a stage shows', takes: VIEWS.join(', ') },
  only: { does: 'the tunings whose curves are shown', takes: `a list of ${tunings}` },
} as const;

/** Most steps of a story. */
export const MOST_STEPS = LIMITS.steps;
