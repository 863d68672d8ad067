import type { Track } from '../midi/index.js';
import type { Part, PartMap } from './parts.js';
import { visitInOrder } from './playing-order.js';

/** A channel message, a part it is for, and the finger of the part it comes from; 0 for the part as a whole. */
export type VisitMessage = (
  tick: number,
  atMs: number,
  part: Part,
  status: number,
  data1: number,
  data2: number,
  finger: number,
) => void;

/**
 * Visits the channel messages of a piece in playing order, once for each part they are for; what isn't tuned is left out.
 *
 * @param toMs when a tick is due, in milliseconds
 * @returns when the last event is due, in milliseconds
 */
export function visitMessages(
  tracks: readonly Track[],
  parts: PartMap,
  toMs: (tick: number) => number,
  visit: VisitMessage,
): number {
  let lastTick = -1;
  let atMs = 0;
  visitInOrder(
    tracks,
    (event, track) => {
      const { tick } = event;
      if (tick !== lastTick) {
        lastTick = tick;
        atMs = toMs(tick);
      }
      if (event.kind !== 'channel') return;
      const { status, data1, data2 } = event;
      const channel = status & 0x0f;
      const finger = parts.fingerOf(track, channel);
      if (isKey(status)) {
        const part = parts.partOf(track, channel);
        if (part !== undefined) visit(tick, atMs, parts.parts[part], status, data1, data2, finger);
        return;
      }
      for (const part of parts.listenersOf(track, channel, status, data1))
        visit(tick, atMs, parts.parts[part], status, data1, data2, finger);
    },
    parts,
  );
  return atMs;
}

function isKey(status: number): boolean {
  return (status & 0xe0) === 0x80;
}
