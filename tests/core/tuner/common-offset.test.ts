import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toReturnCents } from '../../../src/core/tuner/common-offset.js';
import {
  createTuner,
  LETTING_GO_MS,
  step,
  toDriftCents,
  toSettings,
  toSoundingCents,
} from '../../../src/core/tuner/index.js';
import { homeOn, Playing, Telling } from '../../support/play.js';
import { times } from '../../support/properties.js';
import { playing, settings } from '../../support/random-playing.js';

describe('the band holds', () => {
  it.each([0, 4, 8, 12])(
    'anchored, follow: after every strike and its glide within %i cents',
    (leewayCents) => {
      const chosen = settings({ strategy: 'anchored', held: 'follow', leewayCents });
      fc.assert(
        fc.property(chosen, playing(), (settled, events) => {
          const tuner = createTuner(settled);
          const telling = new Telling();
          const { glideMs, home, referenceCents } = settled;
          events.forEach((event, i) => {
            step(tuner, event, telling);
            if (event.kind !== 'note-on') return;
            // As decided, at once…
            const drift = toDriftCents(tuner);
            if (!(Math.abs(drift) <= leewayCents + 1e-6)) expect(drift).toBeCloseTo(leewayCents, 6);
            // …and as it sounds, once the glide has had its time before the next event.
            const doneMs = event.atMs + LETTING_GO_MS + Math.max(60, glideMs) + 2 * settled.tickMs;
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
        }),
        { numRuns: times(100) },
      );
    },
  );

  it('what was told last is what sounds, in every strategy', () => {
    fc.assert(
      fc.property(settings(), playing(), (chosen, events) => {
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
      }),
    );
  });
});

describe('the first strike', () => {
  it.each(['free', 'pull', 'anchored'] as const)('stands at home as a whole: %s', (strategy) => {
    const keys = [60, 64, 67, 70];
    const music = new Playing({ strategy }).strike(keys, 5).wait(100);
    expect(music.driftCents()).toBeCloseTo(0, 9);
    const sum = keys.reduce((total, key) => total + music.cents(key) - 100 * key, 0);
    expect(sum).toBeCloseTo(0, 9);
  });

  it('stands on a just home to the cent, if it is a chord of it', () => {
    const music = new Playing({ home: homeOn('just', 'C') }).chord([60, 64, 67]);
    expect(music.cents(60)).toBeCloseTo(6000, 9);
    expect(music.cents(64)).toBeCloseTo(6386.3137, 4);
  });

  it('moves with the reference pitch', () => {
    const music = new Playing({ home: homeOn('just', 'C'), referenceCents: -31.7667 }).chord([60]);
    expect(music.cents(60)).toBeCloseTo(6000 - 31.7667, 9);
  });

  it('free: a note that comes when the strike window is over doesn’t move those before it', () => {
    const music = new Playing({ strategy: 'free' }).strike([60]).wait(20).strike([64]).wait(30);
    expect(music.note(60).settled).toBe(true);
    const before = music.cents(60);
    music.strike([67]).wait(500);
    expect(music.cents(60)).toBe(before);
    expect(music.proportion()).toBe('4:5:6');
  });
});

describe('held: stay', () => {
  it('only what is struck comes home; the tied note keeps its pitch and lags', () => {
    const music = new Playing({ strategy: 'anchored', held: 'stay', leewayCents: 0 }).chord([60, 64, 67]);
    const before = music.cents(60);
    music.chord([60, 65, 69]);
    expect(music.cents(60)).toBe(before);
    const home = music.cents(65) - 6500 + (music.cents(69) - 6900);
    expect(home).toBeCloseTo(0, 9);
    expect(music.ratio(69, 65)).toBe('5/4');
    expect(music.note(60).lagCents).not.toBe(0);
  });
});

describe('toReturnCents', () => {
  it.each([
    [21.5, 8, -13.5],
    [-21.5, 8, 13.5],
    [-3, 8, 0],
    [8, 8, 0],
    [5, 0, -5],
    [1000, Infinity, 0],
  ])('a body at %d with a leeway of %d moves by %d', (body, leeway, move) => {
    expect(toReturnCents(body, leeway)).toBe(move);
  });
});

it('nothing that sounds stands at home, wherever the offset is', () => {
  const tuner = createTuner(toSettings({}));
  tuner.offset.cents = 21.5;
  expect(toDriftCents(tuner)).toBe(0);
});
