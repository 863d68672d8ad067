import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn, NOTE_OFF } from '../midi/index.js';
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
 * What a channel message means for a tuner: keys, pedals and the mode messages that silence. Everything else is no
 * business of the tuner's.
 *
 * @param part the stream of playing the message belongs to
 * @returns no event for most messages, one for keys and pedals, one for each pedal where all controllers are reset
 * @see MIDI 1.0 Detailed Specification 4.2.1, Channel Mode Messages: 123 to 127 lift all keys, pedals still hold
 * @example toTunerEvents(20, 0, 0x90, 60, 80)  // [{ kind: 'note-on', atMs: 20, part: 0, key: 60, velocity: 80 }]
 */
export function toTunerEvents(
  atMs: number,
  part: number,
  status: number,
  data1: number,
  data2: number,
): readonly RowEvent[] {
  if (isNoteOn(status, data2)) return [{ kind: 'note-on', atMs, part, key: data1, velocity: data2 }];
  if (isNoteOff(status, data2)) {
    const velocity = (status & 0xf0) === NOTE_OFF ? data2 : NO_VELOCITY;
    return [{ kind: 'note-off', atMs, part, key: data1, velocity }];
  }
  if ((status & 0xf0) !== CONTROL_CHANGE) return NOTHING;
  const pedal = PEDALS.get(data1);
  if (pedal !== undefined) return [{ kind: 'pedal', atMs, part, pedal, down: data2 >= DOWN }];
  if (data1 === CC.resetControllers)
    return Array.from(PEDALS.values(), (its) => ({ kind: 'pedal', atMs, part, pedal: its, down: false }));
  if (data1 === CC.allSoundOff) return [{ kind: 'silence', atMs, part }];
  return data1 >= CC.allNotesOff ? [{ kind: 'keys-up', atMs, part }] : NOTHING;
}

/** Whether a channel message is a key going down or up. @example isKeyMessage(0x90, 0)  // true */
export function isKeyMessage(status: number, data2: number): boolean {
  return isNoteOn(status, data2) || isNoteOff(status, data2);
}
