import * as v from 'valibot';
import { DriftCurveSchema, FrameSchema, PassSchema, PieceSchema, SettingsFactSchema } from './facts.js';
import { LIMITS, MAX_FILE_PARTS } from './limits.js';
import { ScoreSchema } from './stage-facts.js';
import { CountSchema, listOf, NameSchema, TextSchema, whole } from './values.js';

/** Everything to show. Sent first, and again whenever the server doesn't know what the viewer has. */
const SnapshotSchema = v.object({
  type: v.literal('snapshot'),
  version: whole(1, 1_000_000),
  /** Identifies this session: what a viewer knows of another doesn't apply to it. */
  session: NameSchema,
  /** Whether this viewer may play and control: false until its `hello` was right. */
  mayControl: v.boolean(),
  settings: SettingsFactSchema,
  pieces: listOf(PieceSchema, LIMITS.pieces),
  course: DriftCurveSchema,
  passes: listOf(PassSchema, LIMITS.passes),
  score: v.nullable(ScoreSchema),
  /** Its `entries` are the tail of the ledger. */
  frame: FrameSchema,
});
const SettingsSchema = v.object({ type: v.literal('settings'), settings: SettingsFactSchema });

/** The chords of the piece that plays from now on. */
const NewScoreSchema = v.object({
  type: v.literal('score'),
  score: v.nullable(ScoreSchema),
});
const RightsSchema = v.object({ type: v.literal('rights'), mayControl: v.boolean() });

/** A message for people: what happened to the music, and what to do. */
const NoticeSchema = v.object({
  type: v.literal('notice'),
  level: v.picklist(['info', 'warning', 'error']),
  text: TextSchema,
});

/** A message of this viewer was refused. `code` is stable, `text` is for people. */
const RefusedSchema = v.object({
  type: v.literal('refused'),
  code: v.picklist([
    'MALFORMED',
    'NO_TOKEN',
    'WRONG_TOKEN',
    'TOO_FAST',
    'TOO_LARGE',
    'UNKNOWN_PIECE',
    'BAD_FILE',
    'BAD_FORMULA',
    'UNKNOWN_STORY',
  ]),
  text: TextSchema,
});

/** Part of a file has arrived; the next may come. */
const TakenSchema = v.object({
  type: v.literal('taken'),
  upload: CountSchema,
  part: whole(0, MAX_FILE_PARTS - 1),
});

/** Everything a viewer may receive. */
export const DownstreamSchema = v.variant('type', [
  SnapshotSchema,
  FrameSchema,
  SettingsSchema,
  NewScoreSchema,
  RightsSchema,
  NoticeSchema,
  RefusedSchema,
  TakenSchema,
]);

export type Snapshot = v.InferOutput<typeof SnapshotSchema>;
export type Notice = v.InferOutput<typeof NoticeSchema>;
export type Refused = v.InferOutput<typeof RefusedSchema>;
export type Downstream = v.InferOutput<typeof DownstreamSchema>;
