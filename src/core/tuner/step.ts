import { changeSettings, goHome, restart } from './changes.js';
import { NO_VELOCITY, type TunerEvent, type TunerOut } from './events.js';
import { movePedal, releaseNote, silence, startNote } from './note-life.js';
import { advance } from './passing-time.js';
import { findNote, notesOf, type Tuner } from './tuner.js';

/**
 * Takes one event and writes its consequences into `out`, after everything that was due before it. Never fails: a
 * note-off without its note, or a pedal already down, changes nothing. Times are in milliseconds and never decrease;
 * keys are 0..127. Pitches are in cents, 6900 is 440 Hz. Hot path.
 *
 * @example
 * const tuner = createTuner(DEFAULT_SETTINGS);
 * step(tuner, { kind: 'note-on', atMs: 0, part: 0, key: 60, velocity: 80 }, out);
 * out.started  // [60]
 */
export function step(tuner: Tuner, event: TunerEvent, out: TunerOut): void {
  const atMs = Math.max(event.atMs, tuner.nowMs);
  advance(tuner, atMs, out);
  switch (event.kind) {
    case 'note-on':
      startNote(tuner, atMs, event.part, event.key, event.velocity ?? NO_VELOCITY, out);
      break;
    case 'note-off': {
      const note = findNote(tuner, event.part, event.key, true);
      if (note !== undefined) releaseNote(tuner, atMs, note, event.velocity ?? NO_VELOCITY, out);
      break;
    }
    case 'pedal':
      movePedal(tuner, atMs, event.part, event.pedal, event.down, out);
      break;
    case 'keys-up':
      for (const note of notesOf(tuner, event.part))
        if (note.keyDown) releaseNote(tuner, atMs, note, NO_VELOCITY, out);
      break;
    case 'silence':
      silence(tuner, atMs, event.part, out);
      break;
    case 'home':
      goHome(tuner, atMs, event.when, out);
      break;
    case 'hold-drift':
      tuner.driftHeld = event.on;
      break;
    case 'settings':
      changeSettings(tuner, event.settings, atMs, out);
      break;
    case 'restart':
      restart(tuner);
      break;
    case 'time':
      break;
  }
}
