import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { divide, equal, formatRatio, UNISON } from '../../../src/core/theory/index.js';
import { type Reason, reasonOf, type SoundingNote } from '../../../src/core/tuner/index.js';
import { keyOf, keysOf, Playing } from '../../support/play.js';
import { forAll } from '../../support/properties.js';

/** Why a note got its ratio, as `presence key interval`. */
function whyOf(note: Readonly<SoundingNote>): string {
  const reason = reasonOf(note);
  return `${reason.presence} ${reason.deciderKey} ${formatRatio(reason.interval)}`;
}

const free = (): Playing => new Playing({ strategy: 'free' });

describe('the reason of a note', () => {
  test('is none for the very first note', () => {
    expect(whyOf(free().chord(keysOf('C4')).note(60))).toBe('first -1 1/1');
  });

  test('is none for the lowest of a first chord, and another note of the chord for the others', () => {
    const playing = free().chord(keysOf('G4 E4 C4'));
    expect(whyOf(playing.note(60))).toBe('first -1 1/1');
    expect(whyOf(playing.note(67))).toBe('together 60 3/2');
    expect(reasonOf(playing.note(64)).presence).toBe('together');
  });

  test('is a held note, with the interval to it', () => {
    const playing = free().chord(keysOf('C4')).chord(keysOf('C4 G4'));
    expect(whyOf(playing.note(67))).toBe('held 60 3/2');
  });

  test('is a note that the pedal holds', () => {
    const playing = free().chord(keysOf('C4')).tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
    playing.lift([60]).wait(100).strike([67]).wait(100);
    expect(whyOf(playing.note(67))).toBe('pedalled 60 3/2');
  });

  test('is a memory in silence, with the key where it was last heard', () => {
    const playing = free().chord(keysOf('C4')).lift([60]).wait(200).strike(keysOf('G5')).wait(100);
    expect(whyOf(playing.note(keyOf('G5')))).toBe('recalled 60 3/1');
  });

  test('is a note struck together rather than a memory', () => {
    const playing = free().chord(keysOf('C4')).lift([60]).wait(3000).chord(keysOf('C4 G4'));
    expect(whyOf(playing.note(67))).toBe('together 60 3/2');
  });

  test('is the nearer in harmony of two held notes', () => {
    const playing = free().chord(keysOf('C4 D4')).chord(keysOf('C4 D4 A4'));
    expect(whyOf(playing.note(69))).toBe('held 62 3/2');
  });

  test('is a note held when the strike began, though it is lifted before the strike closes', () => {
    const playing = free().chord(keysOf('C4')).strike(keysOf('G4')).wait(10).lift([60]).wait(100);
    expect(whyOf(playing.note(67))).toBe('held 60 3/2');
  });

  test('never leads in a circle, and decider times interval is the note', () => {
    const chord = fc.uniqueArray(fc.integer({ min: 48, max: 72 }), { minLength: 1, maxLength: 8 });
    forAll([fc.array(chord, { minLength: 1, maxLength: 4 })], (chords) => {
      const playing = free();
      for (const keys of chords) {
        const before = new Set(playing.tuner.notes.filter(({ keyDown }) => keyDown).map(({ id }) => id));
        playing.chord(keys);
        const struck = playing.tuner.notes.filter(({ id }) => !before.has(id));
        for (const note of struck) {
          const reason = reasonOf(note);
          if (reason.presence === 'first') continue;
          expect(equal(reason.interval, divide(note.point, reason.deciderPoint))).toBe(true);
          // Follow the reasons among those struck together: they end.
          let at: Readonly<SoundingNote> | undefined = note;
          for (let steps = 0; at !== undefined; steps++) {
            const { presence, deciderKey }: Reason = reasonOf(at);
            if (presence !== 'together') break;
            expect(steps).toBeLessThan(struck.length);
            at = struck.find(({ key }) => key === deciderKey);
            expect(at).toBeDefined();
          }
        }
      }
      const first = playing.tuner.notes.filter((note) => reasonOf(note).presence === 'first');
      for (const note of first) expect(reasonOf(note).interval).toEqual(UNISON);
      expect(first.length).toBeLessThanOrEqual(1);
    });
  });
});
