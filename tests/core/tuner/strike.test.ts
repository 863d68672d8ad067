import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatRatio } from '../../../src/core/theory/index.js';
import {
  createTuner,
  step,
  type Tuner,
  type TunerEvent,
  type TunerSettings,
} from '../../../src/core/tuner/index.js';
import { Playing, Telling } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { endOf, playing, settings } from '../../support/random-playing.js';

/** A strike of 2 to 10 different keys, in two orders, all arriving within the strike window of 30 ms. */
const strike = fc
  .uniqueArray(fc.integer({ min: 48, max: 84 }), { minLength: 2, maxLength: 10, size: 'max' })
  .chain((keys) =>
    fc.record({
      keys: fc.constant(keys),
      order: fc.shuffledSubarray(keys, { minLength: keys.length, maxLength: keys.length }),
      // All within a few milliseconds: what has sounded longer isn't moved for memory's sake alone.
      apartMs: fc.constantFrom(0, 0.5, 0.9),
    }),
  );

/** What stood when every note had settled and every glide was over: points, pitches, and the offset. */
function play(
  chosen: TunerSettings,
  before: readonly TunerEvent[],
  keys: readonly number[],
  apartMs: number,
) {
  const tuner = createTuner(chosen);
  const telling = new Telling();
  for (const event of before) step(tuner, event, telling);
  // Long enough for what came before to settle; what is held stays.
  const startMs = (before.length === 0 ? 0 : endOf(before)) + 700;
  step(tuner, { kind: 'time', atMs: startMs }, telling);
  // A part of its own, so that no key is one that is down or pedalled already.
  keys.forEach((key, i) => {
    step(tuner, { kind: 'note-on', atMs: startMs + i * apartMs, part: 9, key }, telling);
  });
  step(tuner, { kind: 'time', atMs: startMs + 400 }, telling);
  return describeState(tuner);
}

function describeState(tuner: Tuner) {
  const notes = tuner.notes
    .map((note) => ({ name: `${note.part} ${note.key} ${formatRatio(note.point)}`, lagCents: note.lagCents }))
    .sort((a, b) => (a.name < b.name ? -1 : 1));
  return { notes, offset: tuner.offset.cents };
}

/** Cents to half a millionth: sums of the same moves in another order differ in the last float. */
function expectSame(one: ReturnType<typeof play>, other: ReturnType<typeof play>): void {
  expect(one).toEqual({
    notes: other.notes.map(({ name, lagCents }) => ({ name, lagCents: expect.closeTo(lagCents, 6) })),
    offset: expect.closeTo(other.offset, 6),
  });
}

describe('the order in which fingers land', () => {
  // `pull` moves on between the strike's first and last note, by what sounds; the choice is the same all the same.
  const chosen = settings({ strikeWindowMs: 30, rateCentsPerSecond: 0, recallCents: 0 });

  test('does not matter from a cold start', () => {
    forAll([chosen, strike], 200, (picked, { keys, order, apartMs }) => {
      expectSame(play(picked, [], order, apartMs), play(picked, [], keys, apartMs));
    });
  });

  test('does not matter after any playing', () => {
    forAll([chosen, playing(25), strike], 200, (picked, before, { keys, order, apartMs }) => {
      expectSame(play(picked, before, order, apartMs), play(picked, before, keys, apartMs));
    });
  });

  test('does not matter between parts: a chord shared by two players is one strike', () => {
    const shared = new Playing({ strategy: 'free' }).strike([60, 67], 0, 0).strike([64, 70], 0, 1).wait(300);
    expect(shared.proportion()).toBe('20:25:30:36');
  });
});

describe('the notes a strike is placed against', () => {
  /** Triads that have one pure form, whatever was played and let go before. */
  const TRIADS = [
    [[0, 4, 7], '4:5:6'],
    [[0, 3, 7], '10:12:15'],
    [[0, 4, 7, 9], '12:15:18:20'],
    [[0, 4, 7, 11], '8:10:12:15'],
  ] as const;

  test.each(TRIADS)('%j is %s after any chord that has fallen silent, on every root', (keys, proportion) => {
    const impure: string[] = [];
    for (const silent of [[60], [60, 67], [60, 64, 67], [60, 63, 67], [60, 64, 67, 70]]) {
      for (let root = 48; root < 60; root++) {
        for (const gapMs of [0, 1000, 5000]) {
          const music = new Playing({ strategy: 'free' }).chord(silent).chord([]).wait(gapMs);
          const found = music.chord(keys.map((key) => root + key)).proportion();
          if (found !== proportion) impure.push(`${silent}, ${gapMs} ms, ${root}: ${found}`);
        }
      }
    }
    expect(impure).toEqual([]);
  });

  test('a fifth and a third above a held note are pure to it, wherever it is', () => {
    for (let key = 48; key < 72; key++) {
      const music = new Playing({ strategy: 'free' }).chord([key]).chord([key, key + 4, key + 7]);
      expect(music.proportion()).toBe('4:5:6');
    }
  });

  test('octaves of one key class struck together are at one point', () => {
    const music = new Playing({ strategy: 'free' }).strike([36, 48, 55, 64, 72, 76]).wait(100);
    expect(music.proportion()).toBe('1:2:3:5:8:10');
  });
});

test('the points of a strike span their keys, and stay within the prime limit, whatever is played', () => {
  const primes = { 3: 2, 5: 3, 7: 4, 11: 5, 13: 6 } as const;
  forAll([settings(), playing()], 150, (chosen, events) => {
    const tuner = createTuner(chosen);
    const telling = new Telling();
    for (const event of events) {
      step(tuner, event, telling);
      for (const { point, key } of tuner.notes) {
        const keys = [12, 19, 28, 34, 42, 44].reduce((sum, size, i) => sum + size * point[i], 0);
        if (keys !== key - tuner.originKey) expect(keys).toBe(key - tuner.originKey);
        const beyond = point.slice(primes[chosen.limit]).filter((exponent) => exponent !== 0);
        if (beyond.length > 0) expect(point).toBe(`within the limit of ${chosen.limit}`);
      }
    }
  });
});
