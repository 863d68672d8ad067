import * as v from 'valibot';
import { TUNER } from '../settings/index.js';
import { LIMITS, MAX_FILE_PARTS, TEMPO_RANGE } from './limits.js';
import { SETTING_CONTROLS } from './setting-schemas.js';
import { CountSchema, KeySchema, NameSchema, whole, within } from './values.js';

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
  v.strictObject({ ...control, what: v.literal('bypass'), value: v.boolean() }),
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
  v.strictObject({ ...piece, act: v.literal('stop') }),
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

/** Everything a viewer may send. Strict: an unknown field is a mistake. */
export const UpstreamSchema = v.variant('type', [HelloSchema, PlaySchema, ControlSchema, PieceOrderSchema]);

export type Play = v.InferOutput<typeof PlaySchema>;
export type Control = v.InferOutput<typeof ControlSchema>;
export type PieceOrder = v.InferOutput<typeof PieceOrderSchema>;
export type FilePart = Extract<PieceOrder, { act: 'file' }>;
export type Upstream = v.InferOutput<typeof UpstreamSchema>;
