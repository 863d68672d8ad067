import * as v from 'valibot';
import { LIMITS } from './limits.js';
import { SETTING_FACTS } from './setting-schemas.js';
import { StageSchema } from './stage-facts.js';
import {
  AmountSchema,
  CentsSchema,
  CountSchema,
  KeySchema,
  listOf,
  NameSchema,
  PointSchema,
  perStrategy,
  StrategySchema,
  TextSchema,
  TimeSchema,
  whole,
  within,
} from './values.js';

/** The note that decided another. */
const DeciderSchema = v.object({
  /** How the deciding note was present: by its key, by a pedal, in memory, struck together, or not at all. */
  presence: v.picklist(['held', 'pedalled', 'recalled', 'together', 'first']),
  /** Its id, if it sounds; null if it is only remembered, or if there was none. */
  id: v.nullable(CountSchema),
  /** Its name: "C4⁰"; empty for a first note. */
  name: TextSchema,
  /** This note ÷ that one: "5/4". */
  ratio: TextSchema,
  /** The same in words, to stand before its name: "a just major third above". */
  place: TextSchema,
});

/** A sounding note under the strategy sent to MIDI, and its pitch under all of them. */
export const NoteSchema = v.object({
  id: CountSchema,
  key: KeySchema,
  velocity: whole(1, 127),
  /** The stream of playing it belongs to, from 0. */
  part: whole(0, 65_535),
  /** Younger than the strike window and still open to revision, held by its key, or by a pedal alone. */
  presence: v.picklist(['struck', 'held', 'pedalled']),
  /** It is of a partner that can't be tuned: its pitch is its own. */
  isFixed: v.boolean(),
  /** Letter, octave and comma mark: "E4⁻¹". */
  name: TextSchema,
  /** Lattice point, octaves included, relative to the tonic of home in the octave from middle C. */
  point: PointSchema,
  /**
   * Ratio to the lowest note that sounds, and to the tonic of home with octaves left out: "5/4"; with long terms as
   * commas from a just ratio, "5/4, three commas low".
   */
  toBass: TextSchema,
  toHome: TextSchema,
  /** Cents from 12 equal at the reference pitch. */
  fromEqual: CentsSchema,
  /**
   * Its pitch under each strategy, in cents on the scale of MIDI keys: 6900 is key 69 at A = 440 Hz. `equal` is the
   * played key in 12 equal at the reference pitch.
   */
  cents: v.object({ ...perStrategy(CentsSchema).entries, equal: CentsSchema }),
  /** MIDI channel 0..15 and bend 0..16383 it was sent with; null for outlets without them. */
  channel: v.nullable(whole(0, 15)),
  bend: v.nullable(whole(0, 16_383)),
  by: DeciderSchema,
  /** Its lattice point under the strategies where that is another one; left out where there is none. */
  elsewhere: v.optional(v.partial(perStrategy(PointSchema))),
});
export type NoteFact = v.InferOutput<typeof NoteSchema>;

/** A note that has ended and is still remembered. `weight` is 1 for a sounding note. */
export const RecalledSchema = v.object({
  point: PointSchema,
  name: TextSchema,
  weight: within({ least: 0, most: 1 }),
});
export type RecalledFact = v.InferOutput<typeof RecalledSchema>;

/** The drift of one strategy: `commaCents` + `backCents` = `leftCents`. In silence it stays what it was. */
export const DriftSchema = v.object({
  /** How far the harmony has moved on the lattice since its first chord: "80/81", "−1 syntonic comma". */
  ratio: TextSchema,
  comma: TextSchema,
  /** The same in cents; how much of it the common offset has given back; and the rest. */
  commaCents: CentsSchema,
  backCents: CentsSchema,
  leftCents: CentsSchema,
  /** Another figure: mean distance of the sounding notes from home; null in silence. */
  meanCents: v.nullable(CentsSchema),
});
export type DriftFact = v.InferOutput<typeof DriftSchema>;

/** Who has paid how much under one strategy, since the session or its settings began. */
export const TotalsSchema = v.object({
  /** Times a key class came back at another lattice point. */
  returns: CountSchema,
  /** Cents notes jumped between one sounding and the next, and tied notes glided while they sounded. */
  jumpedCents: AmountSchema,
  glidedCents: AmountSchema,
  offsetCents: AmountSchema,
  /** Cents off the pure ratio, times seconds. */
  impurityCentSeconds: AmountSchema,
});
export type TotalsFact = v.InferOutput<typeof TotalsSchema>;

/** Entries are numbered from 1 per strategy: a frame may repeat one, and a gap means that a slow viewer missed some. */
const entry = {
  n: whole(1, LIMITS.count),
  strategy: StrategySchema,
  atMs: TimeSchema,
  /** Pass of the playing piece, from 1; 0 outside a piece. */
  pass: CountSchema,
};

/** An entry of the ledger. */
export const EntrySchema = v.variant('kind', [
  v.object({
    ...entry,
    kind: v.literal('return'),
    key: KeySchema,
    name: TextSchema,
    /** Now ÷ before, its commas, its cents. */
    ratio: TextSchema,
    comma: TextSchema,
    cents: CentsSchema,
    /** Its ratios to the tonic of home before and now: "9/8", "10/9". */
    was: TextSchema,
    now: TextSchema,
  }),
  v.object({
    ...entry,
    kind: v.literal('drift'),
    /**
     * A note that shows the step; whether it came back by the step itself, or is where the harmony went; and the name
     * of the note it was tied to: empty for none.
     */
    key: KeySchema,
    name: TextSchema,
    isReturn: v.boolean(),
    by: TextSchema,
    /** The step: its ratio, its commas, its cents. All steps together are the drift. */
    ratio: TextSchema,
    comma: TextSchema,
    cents: CentsSchema,
  }),
  v.object({
    ...entry,
    kind: v.literal('offset'),
    untilMs: TimeSchema,
    cents: CentsSchema,
    cause: v.picklist(['first strike', 'anchor', 'temper', 'partner', 'pull', 'home', 'plan']),
    /** New notes that took it at once, tied notes there were, and whether those followed or stayed. */
    struck: CountSchema,
    tied: CountSchema,
    held: v.picklist(['follow', 'stay']),
  }),
  v.object({
    ...entry,
    kind: v.literal('impurity'),
    untilMs: TimeSchema,
    key: KeySchema,
    name: TextSchema,
    cents: CentsSchema,
    centSeconds: AmountSchema,
  }),
]);
export type EntryFact = v.InferOutput<typeof EntrySchema>;

/** A loop started again: its pass, from 1, when, and the drift left from the passes before. */
export const PassSchema = v.object({
  n: whole(1, LIMITS.count),
  atMs: TimeSchema,
  left: perStrategy(CentsSchema),
});
export type PassFact = v.InferOutput<typeof PassSchema>;

/** The playing piece. Positions in it are in milliseconds as written, whatever the tempo. */
export const PlayingSchema = v.object({
  name: NameSchema,
  title: TextSchema,
  tempo: within({ least: 0.1, most: 10 }),
  loop: v.boolean(),
  /** It pauses, and its chord sounds on. */
  isPaused: v.boolean(),
  pass: PassSchema,
  positionMs: TimeSchema,
  lengthMs: TimeSchema,
  /** The stretch that is played, within 0 and `lengthMs`; all of it is the whole piece. */
  fromMs: TimeSchema,
  toMs: TimeSchema,
});
export type PlayingFact = v.InferOutput<typeof PlayingSchema>;

/** A piece to choose from. */
export const PieceSchema = v.object({ name: NameSchema, title: TextSchema });
export type PieceFact = v.InferOutput<typeof PieceSchema>;

/** State of the session. Times are milliseconds from a key coming in to the last message sent. */
export const CountersSchema = v.object({
  medianMs: AmountSchema,
  p99Ms: AmountSchema,
  worstMs: AmountSchema,
  notes: CountSchema,
  /** Messages waiting for a slow port, and frames a slow viewer missed. */
  queued: CountSchema,
  droppedFrames: CountSchema,
  viewers: CountSchema,
  /** What the outlets couldn't do; see the outlet's counters. */
  clampedBends: CountSchema,
  sharedNotes: CountSchema,
  foldedNotes: CountSchema,
});
export type CountersFact = v.InferOutput<typeof CountersSchema>;

/** The settings in force. */
export const SettingsFactSchema = v.object({
  ...SETTING_FACTS,
  /** 12 equal goes to MIDI; the strategies run on without sounding. */
  bypass: v.boolean(),
  /** Names of stories to tell, the built-in one first. */
  stories: listOf(TextSchema, 8),
  /** Ports in use; both empty if only the page plays. */
  inputs: listOf(NameSchema, LIMITS.ports),
  outputs: listOf(NameSchema, LIMITS.ports),
  /** Where others may look on, the best address first; empty if nobody can. */
  addresses: listOf(TextSchema, LIMITS.addresses),
});
export type SettingsFact = v.InferOutput<typeof SettingsFactSchema>;

const LineSchema = listOf(CentsSchema, LIMITS.driftCurve);

/** The recent drift curves: `leftCents` at successive times, per strategy. Between two times a line is straight. */
export const DriftCurveSchema = v.pipe(
  v.object({ atMs: listOf(TimeSchema, LIMITS.driftCurve), ...perStrategy(LineSchema).entries }),
  v.check(
    ({ atMs, ...lines }) =>
      Object.values(lines).every((line) => line.length === atMs.length) &&
      atMs.every((ms, i) => i === 0 || ms >= atMs[i - 1]),
    'drift curves have one value a moment, in order',
  ),
);
export type DriftCurveFact = v.InferOutput<typeof DriftCurveSchema>;

/** The present state of the music. */
export const FrameSchema = v.object({
  type: v.literal('frame'),
  atMs: TimeSchema,
  /** The strategy that is sent to MIDI, or null while 12 equal is. */
  sounding: v.nullable(StrategySchema),
  /** When the newest note was struck; null before the first. */
  strikeMs: v.nullable(TimeSchema),
  /** From the lowest up; `more` further ones sound. */
  notes: listOf(NoteSchema, LIMITS.notes),
  more: CountSchema,
  recalled: listOf(RecalledSchema, 12),
  drift: perStrategy(DriftSchema),
  /** Since the frame before, and perhaps some again. */
  entries: listOf(EntrySchema, LIMITS.entries),
  totals: perStrategy(TotalsSchema),
  playing: v.nullable(PlayingSchema),
  stage: StageSchema,
  counters: CountersSchema,
});
export type Frame = v.InferOutput<typeof FrameSchema>;
