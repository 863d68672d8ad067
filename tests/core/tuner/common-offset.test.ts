import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toDeviationCents } from '../../../src/core/theory/index.js';
import { AnchorCost, toReturnCents } from '../../../src/core/tuner/common-offset.js';
import {
  createTuner,
  DEFAULT_WEIGHTS,
  LEAVING_MS,
  step,
  type Tuner,
  toMeanFromHome,
  toSettings,
  toSoundingCents,
} from '../../../src/core/tuner/index.js';
import { homeOn, keysOf, Playing, Telling } from '../../support/play.js';
import { amongAll, forAll } from '../../support/properties.js';
import { playing, settings } from '../../support/random-playing.js';

test.each([0, 4, 8, 12])(
  'anchored notes that follow are within %i cents after every strike and its glide',
  (leewayCents) => {
    const chosen = settings({ strategy: 'anchored', held: 'follow', leewayCents });
    forAll([chosen, playing()], 100, (settled, events) => {
      const tuner = createTuner(settled);
      const telling = new Telling();
      const { glideMs, home, referenceCents } = settled;
      events.forEach((event, i) => {
        step(tuner, event, telling);
        if (event.kind !== 'note-on') return;
        // As decided, at once…
        const drift = toMeanFromHome(tuner);
        if (!(Math.abs(drift) <= leewayCents + 1e-6)) expect(drift).toBeCloseTo(leewayCents, 6);
        // …and as it sounds, once the glide has had its time before the next event.
        const doneMs = event.atMs + LEAVING_MS + Math.max(60, glideMs) + 2 * settled.tickMs;
        if (i + 1 < events.length && events[i + 1].atMs < doneMs) return;
        step(tuner, { kind: 'time', atMs: doneMs }, telling);
        const { notes } = tuner;
        const sum = notes.reduce((total, note) => {
          const aboveKey = note.reportedCents - 100 * note.key - referenceCents;
          return total + aboveKey - home.deviationCents[note.keyClass];
        }, 0);
        const body = sum / notes.length;
        if (!(Math.abs(body) <= leewayCents + 1e-6)) expect(body).toBeCloseTo(leewayCents, 6);
      });
    });
  },
);

test('the last reported pitch is what sounds, in every strategy', () => {
  forAll([settings(), playing()], (chosen, events) => {
    const tuner = createTuner(chosen);
    const told = new Map<number, number>();
    const telling = new Telling();
    for (const event of events) {
      step(tuner, event, telling);
      for (const one of telling.told.splice(0)) {
        if (one.what === 'start' || one.what === 'retune') told.set(one.id, one.cents);
      }
      for (const note of tuner.notes) {
        const difference = Math.abs((told.get(note.id) ?? Number.NaN) - toSoundingCents(tuner, note));
        if (!(difference < 1e-6)) expect(difference).toBe(0);
      }
    }
  });
});

describe('the first strike', () => {
  test.each(['free', 'pull', 'anchored'] as const)('is at home as a whole: %s', (strategy) => {
    const keys = [60, 64, 67, 70];
    const music = new Playing({ strategy }).strike(keys, 5).wait(100);
    expect(music.meanFromHome()).toBeCloseTo(0, 9);
    const sum = keys.reduce((total, key) => total + music.cents(key) - 100 * key, 0);
    expect(sum).toBeCloseTo(0, 9);
  });

  test('is on a just home to the cent, if it is a chord of that home', () => {
    const music = new Playing({ home: homeOn('just', 'C') }).chord([60, 64, 67]);
    expect(music.cents(60)).toBeCloseTo(6000, 9);
    expect(music.cents(64)).toBeCloseTo(6386.3137, 4);
  });

  test('moves with the reference pitch', () => {
    const music = new Playing({ home: homeOn('just', 'C'), referenceCents: -31.7667 }).chord([60]);
    expect(music.cents(60)).toBeCloseTo(6000 - 31.7667, 9);
  });

  test('under free is not moved by a note after the strike window', () => {
    const music = new Playing({ strategy: 'free' }).strike([60]).wait(20).strike([64]).wait(30);
    expect(music.note(60).settled).toBe(true);
    const before = music.cents(60);
    music.strike([67]).wait(500);
    expect(music.cents(60)).toBe(before);
    expect(music.proportion()).toBe('4:5:6');
  });
});

test('only struck notes come home with held notes that stay, and the tied note does not move', () => {
  const music = new Playing({ strategy: 'anchored', held: 'stay', leewayCents: 0 }).chord([60, 64, 67]);
  const before = music.cents(60);
  music.chord([60, 65, 69]);
  expect(music.cents(60)).toBe(before);
  const home = music.cents(65) - 6500 + (music.cents(69) - 6900);
  expect(home).toBeCloseTo(0, 9);
  expect(music.ratio(69, 65)).toBe('5/4');
  expect(music.note(60).lagCents).not.toBe(0);
});

test.each([
  [21.5, 8, -13.5],
  [-21.5, 8, 13.5],
  [-3, 8, 0],
  [8, 8, 0],
  [5, 0, -5],
  [1000, Infinity, 0],
])('toReturnCents moves a body at %d with a leeway of %d by %d', (body, leeway, move) => {
  expect(toReturnCents(body, leeway)).toBe(move);
});

test('the distance from home of silence is zero, wherever the offset is', () => {
  const tuner = createTuner(toSettings({}));
  tuner.offset.cents = 21.5;
  expect(toMeanFromHome(tuner)).toBe(0);
});

const { tiedPrice, narrowCents, narrowReturn, returnPrice, returnStep, returnCents, returnSeconds } =
  DEFAULT_WEIGHTS;

/** A passage of chords on few keys, some of whose notes are tied over. */
const passage = fc.array(
  fc.record({
    keys: fc.uniqueArray(fc.integer({ min: 55, max: 70 }), { minLength: 1, maxLength: 4 }),
    tied: fc.subarray([55, 58, 60, 62, 64, 65, 67, 69]),
    holdMs: fc.constantFrom(200, 700, 3000),
  }),
  { minLength: 1, maxLength: 12 },
);
const leewayCents = fc.constantFrom(0, 4, 8);

/** What was heard before a strike: the tied notes, and where silent key classes ended. */
interface LastHeard {
  readonly tied: ReadonlyMap<number, number>;
  readonly silent: ReadonlyMap<number, { cents: number; endedMs: number }>;
}

/** What the anchor did to a strike, by what was told of each pitch: what it would have cost to know it beforehand. */
function toHeardCost(playing: Playing, struck: readonly number[], atMs: number, heard: LastHeard): number {
  const narrowness = narrowCents / (narrowCents + playing.tuner.settings.leewayCents);
  let cost = 0;
  for (const [key, cents] of heard.tied)
    cost += narrowness * tiedPrice * Math.abs(playing.cents(key) - cents);
  const tiedClasses = new Set([...heard.tied.keys()].map((key) => key % 12));
  // A key class that comes back costs once, however many notes it has.
  for (const key of new Map(struck.map((one) => [one % 12, one])).values()) {
    const last = heard.silent.get(key % 12);
    if (last === undefined || tiedClasses.has(key % 12)) continue;
    const jump = Math.abs(playing.cents(key) - 100 * key - last.cents);
    const fading = Math.exp(-(atMs - last.endedMs) / 1000 / returnSeconds);
    const size = (jump > 5 ? returnStep : 0) + Math.min(3, jump / returnCents);
    cost += returnPrice * (1 + narrowReturn * narrowness) * fading * size;
  }
  return cost;
}

/** What it costs, as far as the tuner knows, that key classes with so many notes go to so many cents off their keys. */
function costOf(tuner: Tuner, atMs: number, strikes: readonly (readonly [number, number, number])[]): number {
  const counts = new Int32Array(12);
  const deviationCents = new Float64Array(12);
  for (const [keyClass, count, cents] of strikes) {
    counts[keyClass] = count;
    deviationCents[keyClass] = cents;
  }
  const classes = Int32Array.from(strikes, ([keyClass]) => keyClass);
  const anchorCost = new AnchorCost();
  anchorCost.hear(tuner, atMs);
  return anchorCost.of({ size: strikes.length, classes, counts }, deviationCents);
}

/** The key classes of struck keys, how many notes each has, and how many cents off its key it stands. */
function toStrikes(playing: Playing, struck: readonly number[]) {
  const classes = [...new Set(struck.map((key) => key % 12))].sort((a, b) => a - b);
  return classes.map((keyClass) => {
    const same = struck.filter((key) => key % 12 === keyClass);
    return [keyClass, same.length, toDeviationCents(playing.note(same[0]).point)] as const;
  });
}

describe('AnchorCost', () => {
  test('is how far tied notes moved and silent key classes jumped', () => {
    let compared = 0;
    forAll([passage, leewayCents], 200, (chords, leeway) => {
      // Two that play the same; one goes on to the next chord when the other is asked what that will cost.
      const changes = { strategy: 'anchored', leewayCents: leeway } as const;
      const [ahead, behind] = [new Playing(changes), new Playing(changes)];
      const silent = new Map<number, { cents: number; endedMs: number }>();
      chords.forEach(({ keys, tied, holdMs }, i) => {
        const down = behind.tuner.notes.map(({ key }) => key);
        const kept = down.filter((key) => keys.includes(key) && tied.includes(key));
        for (const key of down) {
          if (kept.includes(key)) continue;
          silent.set(key % 12, { cents: behind.cents(key) - 100 * key, endedMs: behind.nowMs });
          for (const one of [ahead, behind]) one.lift([key]);
        }
        const struck = keys.filter((key) => !kept.includes(key));
        ahead.strike(struck).wait(100 + holdMs);
        if (i > 0 && struck.length > 0) {
          const heard = { tied: new Map(kept.map((key) => [key, behind.cents(key)])), silent };
          const cost = costOf(behind.tuner, behind.nowMs, toStrikes(ahead, struck));
          expect(cost).toBeCloseTo(toHeardCost(ahead, struck, behind.nowMs, heard), 6);
          compared++;
        }
        behind.strike(struck).wait(100 + holdMs);
      });
    });
    expect(compared).toBeGreaterThan(amongAll(200));
  });

  test('has no price for a comma on the lattice that is none in pitch', () => {
    // The strict anchor: the same chord, a comma lower on the lattice, sounds where it sounded.
    const playing = new Playing({ strategy: 'anchored', leewayCents: 0 });
    const keys = keysOf('C4 E4 G4');
    playing.chord(keys).lift(keys).wait(100);
    const comma = [0, -4, 1, 0, 0, 0] as const;
    const places = [0, 4, 7].map(
      (keyClass) => [keyClass, toDeviationCents(playing.tuner.memory[keyClass]!.point)] as const,
    );
    const cost = (commas: number) =>
      costOf(
        playing.tuner,
        playing.nowMs,
        places.map(([keyClass, cents]) => [keyClass, 1, cents + commas * toDeviationCents(comma)] as const),
      );
    expect(cost(0)).toBeCloseTo(0, 9);
    expect(cost(1)).toBeCloseTo(0, 9);
    expect(cost(5)).toBeCloseTo(0, 9);
  });

  test('reckons with the new notes alone where tied ones stay', () => {
    const [follow, stay] = (['follow', 'stay'] as const).map((held) => {
      const playing = new Playing({ strategy: 'anchored', leewayCents: 0, held });
      playing.chord(keysOf('C4 E4'));
      return costOf(playing.tuner, playing.nowMs, [[11, 1, toDeviationCents([0, 5, 0, 0, 0, 0])]]);
    });
    // The two stand at home as a whole. The new note alone would have to move by all of its distance, three by a third.
    const away = toDeviationCents([0, 5, 0, 0, 0, 0]) - toDeviationCents([0, 0, 1, 0, 0, 0]) / 2;
    expect(follow).toBeCloseTo((tiedPrice * 2 * away) / 3, 6);
    expect(stay).toBeCloseTo(tiedPrice * 2 * away, 6);
  });
});
