import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fromSnapshot, step, toMeanFromHome, toSnapshot } from '../../../src/core/tuner/index.js';
import { keysOf, Playing } from '../../support/play.js';
import { forAll } from '../../support/properties.js';

/** The part a partner plays that can't be tuned. */
const ORGAN = 7;

/** Strikes keys of the organ at their pitches in 12 equal, or as far from them as is given. */
function organ(music: Playing, keys: readonly number[], awayCents = 0): Playing {
  for (const key of keys)
    music.tell({ kind: 'note-on', part: ORGAN, key, fixedCents: 100 * key + awayCents });
  return music;
}

function liftOrgan(music: Playing, keys: readonly number[]): Playing {
  for (const key of keys) music.tell({ kind: 'note-off', part: ORGAN, key });
  return music;
}

/** Just consonances, in cents, by keys. */
const PURE = new Map(
  [4, 5, 7, 8, 9, 3].map((keys, i) => [
    keys,
    1200 * Math.log2([5 / 4, 4 / 3, 3 / 2, 8 / 5, 5 / 3, 6 / 5][i]),
  ]),
);

function expectPure(music: Playing, bass: number): void {
  for (const { key, reportedCents } of others(music)) {
    const pure = PURE.get((key - bass) % 12) ?? Number.NaN;
    expect(Math.abs(((reportedCents - 100 * bass) % 1200) - pure)).toBeLessThan(0.001);
  }
}

const ofOrgan = (music: Playing) => music.tuner.notes.filter(({ part }) => part === ORGAN);
const others = (music: Playing) => music.tuner.notes.filter(({ part }) => part !== ORGAN);
const pitchOf = (music: Playing, key: number) =>
  music.tuner.notes.find((note) => note.key === key)!.reportedCents;

describe.each(['free', 'pull', 'anchored', 'temper'] as const)(
  'a partner that cannot be tuned, under %s:',
  (strategy) => {
    test('a bass at its own pitch has a pure chord above it', () => {
      const music = new Playing({ strategy });
      organ(music, [48]).strike([64, 67]).wait(100);
      expect(pitchOf(music, 48)).toBe(4800);
      expect(pitchOf(music, 64) - 4800).toBeCloseTo(1586.314, 3);
      expect(pitchOf(music, 67) - 4800).toBeCloseTo(1901.955, 3);
    });

    test('held notes glide along when the bass goes on, and the chord is pure to it again', () => {
      const music = new Playing({ strategy, leewayCents: 8 });
      organ(music, [48], 11).strike([64, 67]).wait(500);
      liftOrgan(music, [48]);
      organ(music, [45], 11);
      music.lift([67]).strike([69]).wait(500);
      expect(pitchOf(music, 45)).toBe(4511);
      expect(pitchOf(music, 64) - 4511).toBeCloseTo(1901.955, 3);
      expect(pitchOf(music, 69) - 4511).toBeCloseTo(2400, 6);
    });

    test('a bass played legato, whose old finger comes up late, has a pure chord above the new one', () => {
      const music = new Playing({ strategy });
      const basses = [48, 45, 50, 43, 48, 45, 50, 43];
      const uppers = [
        [64, 67],
        [64, 72],
        [65, 69],
        [62, 71],
      ];
      basses.forEach((bass, i) => {
        const upper = uppers[i % 4];
        organ(music, [bass]).strike(upper).wait(60);
        // Once the touch is known, the chord is pure before the old finger comes up.
        if (i > 5) expectPure(music, bass);
        if (i > 0) liftOrgan(music, [basses[i - 1]]);
        music.wait(440);
        expect(ofOrgan(music).map(({ key }) => key)).toEqual([bass]);
        expectPure(music, bass);
        music.lift(upper);
      });
    });

    test('no drift is left after passes that would drift, and the partner never moves', () => {
      const music = new Playing({ strategy, leewayCents: strategy === 'free' ? Infinity : 8 });
      for (let pass = 0; pass < 3; pass++)
        for (const chord of ['C3 G4 C5 E5', 'A2 A4 C5 E5', 'D3 A4 D5 F5', 'G2 G4 D5 B4'].map(keysOf)) {
          const [bass, ...upper] = chord;
          organ(music, [bass]).strike(upper.filter((key) => !others(music).some((note) => note.key === key)));
          music.wait(900);
          const [its] = ofOrgan(music);
          expect(its.reportedCents).toBe(100 * bass);
          music.lift(
            others(music)
              .map(({ key }) => key)
              .filter((key) => !upper.includes(key)),
          );
          expect(Math.abs(toMeanFromHome(music.tuner))).toBeLessThan(15);
          liftOrgan(music, [bass]);
          music.lift(upper);
        }
    });

    test('a note that doubles one of several fixed notes takes its pitch', () => {
      const music = new Playing({ strategy });
      organ(music, [48, 52, 55]).wait(50).strike([76]).wait(100);
      expect(pitchOf(music, 76)).toBeCloseTo(7600, 6);
    });
  },
);

test('whatever is played and changed, a fixed note sounds at its pitch from its start to its end', () => {
  const turn = fc.record({
    bass: fc.integer({ min: 36, max: 59 }),
    keys: fc.uniqueArray(fc.integer({ min: 60, max: 84 }), { maxLength: 4 }),
    away: fc.integer({ min: -50, max: 50 }),
    change: fc.constantFrom(
      {},
      { referenceCents: 20 },
      { limit: 7 as const },
      { limit: 3 as const },
      { strategy: 'pull' as const },
    ),
    home: fc.boolean(),
  });
  forAll(
    [fc.array(turn, { maxLength: 6 }), fc.constantFrom('free', 'pull', 'anchored', 'temper')],
    (turns, strategy) => {
      const music = new Playing({ strategy: strategy as 'free' });
      for (const { bass, keys, away, change, home } of turns) {
        organ(music, [bass], away).strike(keys).wait(70);
        music.tell({ kind: 'settings', settings: { ...music.tuner.settings, ...change } });
        if (home) music.tell({ kind: 'home', when: 'now' });
        music.wait(200);
        for (const note of ofOrgan(music)) expect(note.reportedCents).toBeCloseTo(note.fixedCents!, 9);
        liftOrgan(music, [bass]);
        music.lift(keys).wait(50);
      }
      expect(music.tuner.fixed.size).toBe(0);
    },
  );
});

test('the ledger says that the offset moved to the fixed part, and enters no return of a fixed note', () => {
  const music = new Playing({ strategy: 'anchored' });
  organ(music, [48]).strike([64, 67]).wait(100);
  liftOrgan(music, [48]);
  music.lift([64, 67]).wait(100);
  organ(music, [45]).strike([64, 69]).wait(100);
  const causes = music.telling.entries.flatMap((entry) => (entry.kind === 'offset' ? [entry.cause] : []));
  expect(causes.at(-1)).toBe('partner');
  expect(music.telling.entries.some((entry) => entry.kind === 'return' && entry.part === ORGAN)).toBe(false);
});

test.each(['free', 'temper'] as const)(
  'a chord is pure to the bass in any order of the fingers, and tied notes that were tempered glide there, under %s',
  (strategy) => {
    const music = new Playing({ strategy });
    // Augmented: tempered where it stands alone.
    music.strike([60, 64, 68]).wait(500).lift([60, 68]);
    music.strike([67]);
    organ(music, [48]).wait(300);
    expect(pitchOf(music, 67) - 4800).toBeCloseTo(1901.955, 3);
    expect(pitchOf(music, 64) - 4800).toBeCloseTo(1586.314, 3);
  },
);

test('the first chord is entered as tuned to the fixed part, and the jumps of the fixed part are not counted', () => {
  const music = new Playing({ strategy: 'free' });
  organ(music, [48], 20).strike([64, 67]).wait(100);
  liftOrgan(music, [48]);
  music.lift([64, 67]).wait(100);
  organ(music, [48], -20).wait(100);
  const [first] = music.telling.entries;
  expect(first).toMatchObject({ kind: 'offset', cause: 'partner' });
  expect(music.tuner.ledger.totals.jumpedCents).toBe(0);
});

test('once the partner is silent the strategy goes on: a pull draws back to home', () => {
  const music = new Playing({ strategy: 'pull', leewayCents: 0, rateCentsPerSecond: 20 });
  organ(music, [48], 40).strike([64, 67]).wait(500);
  const held = music.meanFromHome();
  music.wait(1000);
  expect(music.meanFromHome()).toBe(held);
  liftOrgan(music, [48]);
  music.wait(3000);
  expect(music.meanFromHome()).toBeCloseTo(0, 6);
});

test('a tuner that continues from a snapshot is tuned to the fixed notes that sound in it', () => {
  const music = new Playing({ strategy: 'anchored' });
  organ(music, [48], 9).strike([64, 67]).wait(200);
  const twin = fromSnapshot(toSnapshot(music.tuner)!);
  expect([...twin.fixed].map(({ key }) => key)).toEqual([48]);
  music.strike([72]).wait(100);
  const told: number[] = [];
  const out = { start: () => {}, retune: () => {}, release: () => {}, end: () => {}, enter: () => {} };
  const atMs = music.nowMs - 100;
  step(
    twin,
    { kind: 'note-on', atMs, part: 0, key: 72 },
    { ...out, start: (_, __, cents) => told.push(cents) },
  );
  expect(told[0]).toBeCloseTo(pitchOf(music, 72), 6);
});

test('going home at once moves nothing while a fixed note sounds', () => {
  const music = new Playing({ strategy: 'free' });
  organ(music, [48], 30).strike([64, 67]).wait(200);
  const before = music.tuner.notes.map(({ reportedCents }) => reportedCents);
  music.tell({ kind: 'home', when: 'now' });
  music.wait(300);
  expect(music.tuner.notes.map(({ reportedCents }) => reportedCents)).toEqual(before);
});

test('tempered notes that stay keep their pitch when a fixed note joins them, and those that follow glide to it', () => {
  for (const held of ['stay', 'follow'] as const) {
    const music = new Playing({ strategy: 'temper', held }).chord(keysOf('C4 E4 G4'), [], 2000);
    const before = others(music).map(({ reportedCents }) => reportedCents);
    organ(music, [72]).wait(500);
    const after = others(music).map(({ reportedCents }) => reportedCents);
    if (held === 'stay') expect(after).toEqual(before);
    else expect(Math.abs(after[1] - before[1])).toBeGreaterThan(1);
  }
});
