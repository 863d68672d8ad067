import { describe, expect, test } from 'vitest';
import { makePump, type PumpWish } from '../../src/app/pump.js';
import type { MidiFile } from '../../src/core/midi/index.js';
import { measureWayHome } from '../support/way-home.js';

/** A diatonic loop, its common notes tied, a chord a bar. */
function makeLoop(bars: number, wish: Partial<PumpWish> = {}): MidiFile {
  const text = wish.text ?? 'C Em Am Dm G';
  const passes = bars / text.split(' ').length;
  const exercise = makePump({
    text,
    tonic: { keyClass: 0, fifths: 0 },
    voices: 4,
    secondsPerChord: 4,
    tied: true,
    ...wish,
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
    '%s, a loop of %i bars: comes home without a lurch, however far it drifted',
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
    ['C A♭ F♭', 'dies'],
    ['C A F♯ D♯', 'dies'],
    ['C F B♭ E♭ A♭ D♭ G♭ C♭ F♭ B♭♭ E♭♭ A♭♭', 'Pythagorean'],
  ] as const)('one that drifts by wider commas (%s) comes home in steps of at most one', (text, comma) => {
    const bars = 6 * text.split(' ').length;
    const heard = measureWayHome(makeLoop(bars, { text }), 'free');
    expect(heard.openDrift).toContain(comma);
    expect(heard.drift).toBe('none');
    expect(heard.widestStepCents).toBeLessThan(22);
  });

  test('under anchored nobody hears returns at which nothing is held', () => {
    const file = makeLoop(20, { tied: false });
    const heard = measureWayHome(file, 'anchored');
    expect(heard.drift).toBe('none');
    for (const { held } of heard.home.wayHome.returns) expect(held).toBe(0);
    expect(heard.widestReturnCents).toBeLessThan(16);
  });
});
