import fc from 'fast-check';
import { expect, test } from 'vitest';
import { retune } from '../../src/app/retune.js';
import { META, type MidiFile, type Track, type TrackEvent } from '../../src/core/midi/index.js';
import { type SoundingNote, toDrift, toSettings } from '../../src/core/tuner/index.js';
import { buildMidi } from '../support/build-midi.js';

/** Pieces of strikes and releases, in any order; some have no note. */
const pieces = fc.array(
  fc.array(fc.tuple(fc.boolean(), fc.integer({ min: 50, max: 62 })), { minLength: 1, maxLength: 30 }),
  { minLength: 1, maxLength: 3 },
);

const SETTINGS = toSettings({ strategy: 'free' });
const PLANS = { settings: SETTINGS, outlet: { kind: 'mts', bendRange: undefined }, plan: 'live' } as const;

/** A file whose tracks are pieces of their own; a quarter note between messages. */
function toFile(all: readonly (readonly (readonly [boolean, number])[])[]): MidiFile {
  const chunks = all.map((acts): Track => {
    const events = acts.map(([isStrike, key], i): TrackEvent => {
      return { kind: 'channel', tick: 480 * i, status: isStrike ? 0x90 : 0x80, data1: key, data2: 80 };
    });
    const end = {
      kind: 'meta',
      tick: 480 * acts.length,
      type: META.endOfTrack,
      data: new Uint8Array(),
    } as const;
    return { kind: 'track', events: [...events, end] };
  });
  return { ...buildMidi([]), format: 2, chunks };
}

test('the last chord of a piece is what can be heard at its last strike, whatever ends afterwards', () => {
  fc.assert(
    fc.property(pieces, (all) => {
      const chords: Set<Readonly<SoundingNote>>[] = [];
      const sounding = new Set<Readonly<SoundingNote>>();
      const { sequences } = retune(toFile(all), PLANS, {
        start(_, note) {
          if (note.id === 0) chords.push(new Set());
          sounding.add(note);
          chords[chords.length - 1] = new Set(sounding);
        },
        end: (_, note) => sounding.delete(note),
      });
      for (const { ending, line } of sequences) {
        if (line.tuner.nextId === 0) {
          expect(ending).toBeUndefined();
          continue;
        }
        const chord = [...chords.shift()!];
        expect(ending?.drift).toEqual(toDrift(line.tuner));
        // Where a glide that was still running would have led.
        const away = chord.map(
          (note) => note.reportedCents - (note.lagCents - note.leanCents) - 100 * note.key,
        );
        expect(ending?.fromHomeCents).toBeCloseTo(away.reduce((sum, cents) => sum + cents) / chord.length, 9);
      }
    }),
  );
});
