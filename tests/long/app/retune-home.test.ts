import { describe, expect, test } from 'vitest';
import { makePump, type PumpOptions } from '../../../src/app/pump.js';
import type { MidiFile } from '../../../src/core/midi/index.js';
import { measureWayHome } from '../../support/way-home.js';

/** A diatonic loop, its common notes tied, a chord a bar. */
function makeLoop(bars: number, options: Partial<PumpOptions> = {}): MidiFile {
  const text = options.text ?? 'C Em Am Dm G';
  const passes = bars / text.split(' ').length;
  const exercise = makePump({
    text,
    tonic: { keyClass: 0, fifths: 0 },
    voices: 4,
    secondsPerChord: 4,
    tied: true,
    ...options,
    passes,
  });
  if (!exercise.ok) throw new Error(exercise.problem.message);
  return exercise.value.file;
}

describe('a file that must end where it began', () => {
  test.each([
    ['free', 120],
    ['free', 300],
    ['free', 900],
    ['anchored', 120],
    ['anchored', 900],
    ['pull', 120],
    ['pull', 300],
  ] as const)(
    'comes home without a lurch in %s, a loop of %i bars, however far it drifted',
    (strategy, bars) => {
      const heard = measureWayHome(makeLoop(bars), strategy);
      expect(heard.openDrift).toBe(`−${bars / 5} syntonic commas`);
      expect(heard.drift).toBe('none');
      expect(Math.abs(heard.fromHomeCents)).toBeLessThanOrEqual(strategy === 'anchored' ? 8 : 2.1);
      expect(heard.widestReturnCents).toBeLessThan(22);
      // A step meets a return, and under anchored what keeps the body within the leeway.
      expect(heard.widestStepCents).toBeLessThan(strategy === 'anchored' ? 30 : 22);
    },
  );

  test.each([
    ['C F C A♭ D♭ A♭ F♭ B♭♭ F♭', 'dies'],
    ['C F C A D A F♯ B F♯ D♯ G♯ D♯', 'dies'],
    ['C F B♭ E♭ A♭ D♭ G♭ C♭ F♭ B♭♭ E♭♭ A♭♭', 'Pythagorean'],
  ] as const)(
    'comes home in steps of at most one comma where it drifts by wider commas (%s)',
    (text, comma) => {
      const heard = measureWayHome(makeLoop(6 * text.split(' ').length, { text }), 'free');
      expect(heard.openDrift).toContain(comma);
      expect(heard.drift).toBe('none');
      expect(heard.widestStepCents).toBeLessThan(22);
    },
  );

  // Two or three returns in as many chords, each tied to the next: a note that is held meets two.
  test.each(['C A♭ F♭', 'C A F♯ D♯'])(
    'comes home though it drifts fast (%s), and no note moves or comes back by more than a comma',
    (text) => {
      const heard = measureWayHome(makeLoop(6 * text.split(' ').length, { text }), 'free');
      expect(heard.drift).toBe('none');
      expect(heard.widestReturnCents).toBeLessThan(22);
    },
  );

  test.each(['free', 'anchored'] as const)(
    'lets no note come back by more than a comma in %s, a loop of 300 bars with nothing held',
    (strategy) => {
      const heard = measureWayHome(makeLoop(300, { tied: false }), strategy);
      expect(heard.openDrift).toContain('syntonic commas');
      expect(heard.drift).toBe('none');
      for (const { held } of heard.home.wayHome.returns) expect(held).toBe(0);
      expect(heard.widestReturnCents).toBeLessThan(22);
    },
  );
});
