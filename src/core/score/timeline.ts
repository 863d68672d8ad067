import { type MidiFile, toTempoMap, toWireMessage, tracksOf } from '../midi/index.js';
import { visitInOrder } from './playing-order.js';
import { toReceivers } from './receivers.js';

/** All messages of a piece in playing order, percussion too, with time and receiver. */
export interface Timeline {
  readonly lengthMs: number;
  /** How many receivers there are, each with sixteen channels. */
  readonly receivers: number;
  /** When each message is due, from 0, never decreasing. */
  readonly timesMs: Float64Array;
  readonly receiverOf: Uint16Array;
  /** Three bytes a message, the third 0 where it has only two; three zeros for a system message. */
  readonly messages: Uint8Array;
  /** System messages by index among the messages. */
  readonly system: ReadonlyMap<number, Uint8Array>;
  /** How many pieces: the tracks of a format 2 file are separate pieces; else 1. */
  readonly pieces: number;
}

/**
 * Lays a file out for sounding; of a file of format 2, whose tracks are unrelated, one track. Times are in milliseconds
 * from the first tick. A missing track gives an empty timeline.
 *
 * @param piece which track of a format 2 file, from 0; ignored for other formats
 * @example toTimeline(file).timesMs[0]  // 0
 */
export function toTimeline(file: MidiFile, piece = 0): Timeline {
  const all = tracksOf(file);
  const tracks = file.format === 2 ? all.slice(piece, piece + 1) : all;
  const { toMs } = toTempoMap(file, piece);
  const receivers = toReceivers(tracks);
  const times: number[] = [];
  const to: number[] = [];
  const bytes: number[] = [];
  const system = new Map<number, Uint8Array>();
  let lengthMs = 0;
  let tick = 0;
  visitInOrder(tracks, (event, track) => {
    if (event.tick !== tick) {
      tick = event.tick;
      lengthMs = toMs(tick);
    }
    if (event.kind === 'meta') return;
    if (event.kind === 'sysex') system.set(times.length, toWireMessage(event));
    times.push(lengthMs);
    to.push(receivers.of[track]);
    if (event.kind === 'channel') bytes.push(event.status, event.data1, event.data2);
    else bytes.push(0, 0, 0);
  });
  return {
    lengthMs,
    receivers: receivers.count,
    timesMs: Float64Array.from(times),
    receiverOf: Uint16Array.from(to),
    messages: Uint8Array.from(bytes),
    system,
    pieces: file.format === 2 ? all.length : 1,
  };
}
