import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn, liftsAllKeys, NOTE_OFF } from '../midi/index.js';
import { NO_VELOCITY, type Pedal } from '../tuner/index.js';
import type { RowEvent } from './event-rows.js';

/** The pedals that hold notes, by their controllers. */
export const PEDALS: ReadonlyMap<number, Pedal> = new Map([
  [CC.sustain, 'sustain'],
  [CC.sostenuto, 'sostenuto'],
  [CC.hold2, 'hold2'],
]);

/** From this value on a pedal is down. MIDI 1.0 Detailed Specification 4.2.1, switches: 0-63 off, 64-127 on */
const DOWN = 64;

const NOTHING: readonly RowEvent[] = Object.freeze([]);

/**
 * A channel message as tuner events: keys, pedals and the mode messages that silence. Everything else is ignored.
 *
 * @param part the stream of playing the message belongs to
 * @param atMs the time in milliseconds, never decreasing
 * @param status 0x80..0xEF, with data bytes 0..127
 * @param finger the finger it comes from, 1..15; 0: it is for the whole part
 * @returns no event for most messages, one for keys and pedals, one for each pedal where all controllers are reset
 * @see MIDI 1.0 Detailed Specification 4.2.1, Channel Mode Messages: 123 to 127 lift all keys, pedals still hold
 * @example toTunerEvents(20, 0, 0x90, 60, 80)  // [{ kind: 'note-on', atMs: 20, part: 0, key: 60, velocity: 80, finger: 0 }]
 */
export function toTunerEvents(
  atMs: number,
  part: number,
  status: number,
  data1: number,
  data2: number,
  finger = 0,
): readonly RowEvent[] {
  if (isNoteOn(status, data2)) return [{ kind: 'note-on', atMs, part, key: data1, velocity: data2, finger }];
  if (isNoteOff(status, data2)) {
    const velocity = (status & 0xf0) === NOTE_OFF ? data2 : NO_VELOCITY;
    return [{ kind: 'note-off', atMs, part, key: data1, velocity, finger }];
  }
  if ((status & 0xf0) !== CONTROL_CHANGE) return NOTHING;
  // The pedals of a zone are moved on its manager, and hold what a finger silences: its receiver has one pedal for all.
  if (finger > 0)
    return data1 === CC.allSoundOff || liftsAllKeys(data1)
      ? [{ kind: 'keys-up', atMs, part, finger }]
      : NOTHING;
  const pedal = PEDALS.get(data1);
  if (pedal !== undefined) return [{ kind: 'pedal', atMs, part, pedal, down: data2 >= DOWN }];
  if (data1 === CC.resetControllers)
    return Array.from(PEDALS.values(), (its) => ({ kind: 'pedal', atMs, part, pedal: its, down: false }));
  if (data1 === CC.allSoundOff) return [{ kind: 'silence', atMs, part }];
  return liftsAllKeys(data1) ? [{ kind: 'keys-up', atMs, part, finger }] : NOTHING;
}

/**
 * Whether a channel message is a key going down or up.
 *
 * @param status 0x80..0xEF
 * @param data2 the velocity, 0..127
 * @example isKeyMessage(0x90, 0)  // true
 */
export function isKeyMessage(status: number, data2: number): boolean {
  return isNoteOn(status, data2) || isNoteOff(status, data2);
}
