import {
  CHANNEL_PRESSURE,
  META,
  type MidiFile,
  PROGRAM_CHANGE,
  type TrackEvent,
  toMetreMap,
  toTempoMap,
  tracksOf,
} from '../midi/index.js';
import { visitInOrder } from './playing-order.js';

/** One pass of a piece as it is played: channel messages with their times. */
export interface Piece {
  /** Of its first named track; empty if none is. */
  readonly title: string;
  readonly lengthMs: number;
  /** When each message is due, from 0, never decreasing. */
  readonly timesMs: Float64Array;
  /** Three bytes a message; the third is 0 where a message has only two. */
  readonly messages: Uint8Array;
  /** When its bars begin. */
  readonly barsMs: readonly number[];
}

/** In a piece written out several times over, this marker ends the first pass. */
const SECOND_PASS = 'pass 2';
/** Longest title, in characters; the rest is cut. */
const MOST_TITLE = 120;
/** Most bars that are counted. */
const MOST_BARS = 10_000;

/**
 * Lays a file out for playing: the channel messages of all its tracks in playing order, percussion too. A piece with a
 * marker "pass 2" ends there: a loop plays the rest.
 *
 * Times are in milliseconds from the first tick. Of format 2 the first track only. Can't fail: a file without tracks
 * gives an empty piece.
 *
 * @example toPiece(file).lengthMs  // 5000: 10 quarters at 120 a minute
 */
export function toPiece(file: MidiFile): Piece {
  const tracks = tracksOf(file);
  // Format 2 holds unrelated pieces: the first is played.
  const played = file.format === 2 ? tracks.slice(0, 1) : tracks;
  const { toMs } = toTempoMap(file, 0);
  const all = played.flatMap(({ events }) => events);
  const endTick = all.find((event) => isText(event, META.marker, SECOND_PASS))?.tick;
  const times: number[] = [];
  const bytes: number[] = [];
  let lengthMs = 0;
  visitInOrder(played, (event) => {
    if (endTick !== undefined && event.tick > endTick) return;
    lengthMs = toMs(event.tick);
    if (event.kind !== 'channel') return;
    const { status, data1, data2 } = event;
    // What begins at the end belongs to the next pass.
    if (event.tick === endTick && (status & 0xf0) !== 0x80 && !((status & 0xf0) === 0x90 && data2 === 0))
      return;
    times.push(lengthMs);
    bytes.push(status, data1, isShort(status) ? 0 : data2);
  });
  return {
    title: toTitle(all),
    lengthMs,
    timesMs: Float64Array.from(times),
    messages: Uint8Array.from(bytes),
    barsMs: toBars(file, lengthMs, toMs),
  };
}

function toBars(file: MidiFile, lengthMs: number, toMs: (tick: number) => number): number[] {
  const { toTick } = toMetreMap(file);
  const bars: number[] = [];
  for (let bar = 1; bar <= MOST_BARS; bar++) {
    const ms = toMs(toTick(bar));
    if (ms >= lengthMs) break;
    bars.push(ms);
  }
  return bars;
}

function isShort(status: number): boolean {
  const type = status & 0xf0;
  return type === PROGRAM_CHANGE || type === CHANNEL_PRESSURE;
}

function toTitle(events: readonly TrackEvent[]): string {
  for (const event of events) {
    if (event.kind === 'meta' && event.type === META.trackName && event.data.length > 0)
      return toText(event.data).trim().slice(0, MOST_TITLE);
  }
  return '';
}

function isText(event: TrackEvent, type: number, text: string): boolean {
  return (
    event.kind === 'meta' &&
    event.type === type &&
    event.data.length === text.length &&
    toText(event.data) === text
  );
}

/** Latin 1, as the standard suggests; control characters are left out. */
function toText(data: Uint8Array): string {
  let text = '';
  for (const byte of data)
    if (byte >= 0x20 && (byte < 0x7f || byte >= 0xa0)) text += String.fromCharCode(byte);
  return text;
}
