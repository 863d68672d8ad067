import type { TunerEvent, TunerOut } from './events.js';
import { endNote, liftKey, movePedal, releaseNote, startNote } from './note-life.js';
import { advance } from './passing-time.js';
import { findNote, notesOf, type Tuner } from './tuner.js';

/**
 * Takes one event and writes what follows from it into `out`, first everything that was due before it.
 *
 * Never fails: a note-off without its note, or a pedal that is down already, changes nothing.
 */
export function step(tuner: Tuner, event: TunerEvent, out: TunerOut): void {
  const atMs = Math.max(event.atMs, tuner.nowMs);
  advance(tuner, atMs, out);
  switch (event.kind) {
    case 'note-on':
      startNote(tuner, atMs, event.part, event.key, out);
      break;
    case 'note-off': {
      const note = findNote(tuner, event.part, event.key, true);
      if (note !== undefined) releaseNote(tuner, atMs, note, out);
      break;
    }
    case 'pedal':
      movePedal(tuner, atMs, event.part, event.pedal, event.down, out);
      break;
    case 'keys-up':
      for (const note of notesOf(tuner, event.part)) if (note.keyDown) releaseNote(tuner, atMs, note, out);
      break;
    case 'silence':
      for (const note of notesOf(tuner, event.part)) {
        if (note.keyDown) liftKey(tuner, note, atMs, out);
        endNote(tuner, atMs, note, out);
      }
      break;
    case 'time':
      break;
  }
}
