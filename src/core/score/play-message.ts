import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn } from '../midi/index.js';
import { step, type Tuner, type TunerOut } from '../tuner/index.js';

/**
 * Tells the tuner what a channel message means for what sounds: keys, pedals and the mode messages that silence.
 * Everything else is no business of the tuner's.
 *
 * @returns whether the message was a key going down or up, which the tuner's decisions replace on the way out
 * @see MIDI 1.0 Detailed Specification 4.2.1, Channel Mode Messages: 123 to 127 lift all keys, pedals still hold
 */
export function playMessage(
  tuner: Tuner,
  atMs: number,
  part: number,
  status: number,
  data1: number,
  data2: number,
  out: TunerOut,
): boolean {
  if (isNoteOn(status, data2)) {
    step(tuner, { kind: 'note-on', atMs, part, key: data1 }, out);
    return true;
  }
  if (isNoteOff(status, data2)) {
    step(tuner, { kind: 'note-off', atMs, part, key: data1 }, out);
    return true;
  }
  if ((status & 0xf0) !== CONTROL_CHANGE) return false;
  switch (data1) {
    case CC.sustain:
      step(tuner, { kind: 'pedal', atMs, part, pedal: 'sustain', down: data2 >= 64 }, out);
      break;
    case CC.sostenuto:
      step(tuner, { kind: 'pedal', atMs, part, pedal: 'sostenuto', down: data2 >= 64 }, out);
      break;
    case CC.hold2:
      step(tuner, { kind: 'pedal', atMs, part, pedal: 'hold2', down: data2 >= 64 }, out);
      break;
    case CC.resetControllers:
      step(tuner, { kind: 'pedal', atMs, part, pedal: 'sustain', down: false }, out);
      step(tuner, { kind: 'pedal', atMs, part, pedal: 'sostenuto', down: false }, out);
      step(tuner, { kind: 'pedal', atMs, part, pedal: 'hold2', down: false }, out);
      break;
    case CC.allSoundOff:
      step(tuner, { kind: 'silence', atMs, part }, out);
      break;
    default:
      if (data1 >= CC.allNotesOff) step(tuner, { kind: 'keys-up', atMs, part }, out);
  }
  return false;
}
