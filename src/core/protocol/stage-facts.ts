import * as v from 'valibot';
import { STRATEGIES } from '../strategy.js';
import { LIMITS } from './limits.js';
import { KeySchema, listOf, NameSchema, TextSchema, TimeSchema, whole, within } from './values.js';

/** Everything that can be heard of the same notes: 12 equal, and each strategy. */
export const TUNINGS = ['equal', ...STRATEGIES] as const;
export type Tuning = (typeof TUNINGS)[number];

export const TuningSchema = v.picklist(TUNINGS);

/** The chords of a piece, for a line of chord names and for stepping. Positions in milliseconds as written. */
export const ScoreSchema = v.object({
  /** Of the piece it belongs to. */
  name: NameSchema,
  /** In order; `symbol` is empty where a chord has no name. */
  chords: listOf(
    v.object({
      atMs: TimeSchema,
      symbol: TextSchema,
      keys: listOf(KeySchema, 16),
    }),
    LIMITS.chords,
  ),
  /** Where bars begin. */
  barsMs: listOf(TimeSchema, LIMITS.bars),
});
export type ScoreFact = v.InferOutput<typeof ScoreSchema>;

/** What a stage can show: everything, or one thing large. */
export const VIEWS = ['all', 'figure', 'curve', 'chord', 'lattice', 'score'] as const;
export type View = (typeof VIEWS)[number];

/** The parts one can point at. */
export const POINTABLES = ['figure', 'curve', 'chord', 'lattice', 'score'] as const;
export type Pointable = (typeof POINTABLES)[number];

/** A place in a part of the page: shares of its width and height, from the upper left corner. */
export const PointerSchema = v.object({
  at: v.picklist(POINTABLES),
  x: within({ least: 0, most: 1 }),
  y: within({ least: 0, most: 1 }),
});
export type PointerFact = v.InferOutput<typeof PointerSchema>;

/** A story being told: its present step. */
export const StorySchema = v.object({
  title: TextSchema,
  /** From 1. */
  step: whole(1, LIMITS.steps),
  steps: whole(1, LIMITS.steps),
  sentence: v.pipe(v.string(), v.maxLength(400)),
});
export type StoryFact = v.InferOutput<typeof StorySchema>;

/** What the lecturer shows the audience: every stage follows it. */
export const StageSchema = v.object({
  view: v.picklist(VIEWS),
  /** The tunings whose curves are shown, beside the heard one; empty: all. */
  only: listOf(TuningSchema, TUNINGS.length),
  pointer: v.nullable(PointerSchema),
  story: v.nullable(StorySchema),
});
export type StageFact = v.InferOutput<typeof StageSchema>;

/** The stage before anything was chosen for it: everything is shown. */
export const BARE_STAGE: StageFact = Object.freeze({ view: 'all', only: [], pointer: null, story: null });
