import * as v from 'valibot';
import { TUNER } from '../settings/index.js';
import { LIMITS, MAX_FILE_PARTS, TEMPO_RANGE } from './limits.js';
import { SETTING_CONTROLS } from './setting-schemas.js';
import { PointerSchema, TUNINGS, TuningSchema, VIEWS } from './stage-facts.js';
import { CountSchema, KeySchema, NameSchema, TimeSchema, whole, within } from './values.js';

/** Identifies a viewer. Anyone may look; the rest needs the session's token. */
const HelloSchema = v.strictObject({
  type: v.literal('hello'),
  version: whole(1, 1_000_000),
  token: v.optional(v.pipe(v.string(), v.maxLength(LIMITS.token))),
});

const play = { type: v.literal('play') };

/** Something played on the page. Each viewer is a separate keyboard: its held notes end when it goes. */
const PlaySchema = v.variant('act', [
  v.strictObject({ ...play, act: v.literal('on'), key: KeySchema, velocity: whole(1, 127) }),
  v.strictObject({ ...play, act: v.literal('off'), key: KeySchema }),
  v.strictObject({ ...play, act: v.literal('sustain'), down: v.boolean() }),
  /** Everything this viewer holds. */
  v.strictObject({ ...play, act: v.literal('all-off') }),
]);

const control = { type: v.literal('control') };

/** A setting, or a foot switch. Takes effect between notes; every viewer gets the new settings. */
const ControlSchema = v.variant('what', [
  ...SETTING_CONTROLS,
  v.strictObject({
    ...control,
    what: v.literal('leeway'),
    strategy: v.picklist(TUNER.leeway.default.is),
    value: within(TUNER.leeway),
  }),
  /** What sounds: 12 equal, or the music as it is under a strategy which has taken the same notes from the start. */
  v.strictObject({ ...control, what: v.literal('hear'), value: TuningSchema }),
  /** Home at once, or with the next strike. */
  v.strictObject({ ...control, what: v.literal('home-now') }),
  v.strictObject({ ...control, what: v.literal('home-next') }),
  /** Silence everywhere, whoever plays. */
  v.strictObject({ ...control, what: v.literal('panic') }),
]);

const piece = { type: v.literal('piece') };
const TempoSchema = within(TEMPO_RANGE);

/** The built-in pieces, and files from the page. One piece plays at a time. */
const PieceOrderSchema = v.variant('act', [
  v.strictObject({
    ...piece,
    act: v.literal('start'),
    name: NameSchema,
    tempo: TempoSchema,
    loop: v.boolean(),
  }),
  /** A comma pump: a formula, or the name of a classic one. It plays in a loop. */
  v.strictObject({
    ...piece,
    act: v.literal('pump'),
    formula: v.pipe(v.string(), v.minLength(1), v.maxLength(LIMITS.formula)),
    tempo: TempoSchema,
  }),
  v.strictObject({ ...piece, act: v.literal('stop') }),
  /** The piece pauses and its chord sounds on, or it goes on. */
  v.strictObject({ ...piece, act: v.literal('pause'), value: v.boolean() }),
  /** To the next chord or the one before, and pauses there. */
  v.strictObject({
    ...piece,
    act: v.literal('chord'),
    value: v.picklist([-1, 1]),
  }),
  /** To a place in a pass, in milliseconds as written; the music is as if it had been played up to there. */
  v.strictObject({
    ...piece,
    act: v.literal('seek'),
    pass: whole(1, LIMITS.count),
    value: TimeSchema,
  }),
  /** Loops a stretch of the piece; null: the whole piece. */
  v.strictObject({
    ...piece,
    act: v.literal('stretch'),
    value: v.nullable(v.strictObject({ fromMs: TimeSchema, toMs: TimeSchema })),
  }),
  /** From the beginning, without drift. */
  v.strictObject({ ...piece, act: v.literal('start-over') }),
  v.strictObject({ ...piece, act: v.literal('tempo'), value: TempoSchema }),
  v.strictObject({ ...piece, act: v.literal('loop'), value: v.boolean() }),
  /**
   * Part of a MIDI file in base64, from 0 to `parts` - 1, in order, each sent when the one before was `taken`. After
   * the last one the file plays.
   */
  v.strictObject({
    ...piece,
    act: v.literal('file'),
    upload: CountSchema,
    name: NameSchema,
    bytes: whole(1, LIMITS.fileBytes),
    part: whole(0, MAX_FILE_PARTS - 1),
    parts: whole(1, MAX_FILE_PARTS),
    data: v.pipe(
      v.string(),
      v.minLength(4),
      v.maxLength((LIMITS.filePartBytes / 3) * 4),
      v.regex(/^(?:[A-Za-z0-9+/]{4})*(?:[A-Za-z0-9+/]{2}==|[A-Za-z0-9+/]{3}=)?$/),
    ),
  }),
]);

const stage = { type: v.literal('stage') };

/** What the audience is shown. */
const StageOrderSchema = v.variant('act', [
  v.strictObject({
    ...stage,
    act: v.literal('view'),
    value: v.picklist(VIEWS),
  }),
  v.strictObject({
    ...stage,
    act: v.literal('only'),
    value: v.pipe(v.array(TuningSchema), v.maxLength(TUNINGS.length)),
  }),
  v.strictObject({
    ...stage,
    act: v.literal('point'),
    value: v.nullable(v.strictObject(PointerSchema.entries)),
  }),
]);

const story = { type: v.literal('story') };

/** A story is told: by its name, step by step. */
const StoryOrderSchema = v.variant('act', [
  v.strictObject({ ...story, act: v.literal('open'), name: NameSchema }),
  v.strictObject({ ...story, act: v.literal('next') }),
  v.strictObject({ ...story, act: v.literal('back') }),
  v.strictObject({ ...story, act: v.literal('close') }),
]);

/** Everything a viewer may send. Strict: an unknown field is a mistake. */
export const UpstreamSchema = v.variant('type', [
  HelloSchema,
  PlaySchema,
  ControlSchema,
  PieceOrderSchema,
  StageOrderSchema,
  StoryOrderSchema,
]);

export type Play = v.InferOutput<typeof PlaySchema>;
export type Control = v.InferOutput<typeof ControlSchema>;
export type PieceOrder = v.InferOutput<typeof PieceOrderSchema>;
export type StageOrder = v.InferOutput<typeof StageOrderSchema>;
export type StoryOrder = v.InferOutput<typeof StoryOrderSchema>;
export type FilePart = Extract<PieceOrder, { act: 'file' }>;
export type Upstream = v.InferOutput<typeof UpstreamSchema>;
