import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatRatio, multiply, power, ratio, toHome } from '../../../src/core/theory/index.js';
import { createTuner, type Guide, step, toSettings } from '../../../src/core/tuner/index.js';
import { Auditor } from '../../support/auditor.js';
import { Telling } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { endOf, letGo, playing, settings } from '../../support/random-playing.js';

const C_JUST = toHome({ kind: 'just', tonic: { keyClass: 0, fifths: 0 } });
const COMMA = ratio('81/80');

/** Keys struck at once on a tuner with a guide, 500 ms of it. */
function play(guide: Guide, keys: readonly number[], strategy: 'free' | 'pull' | 'anchored' = 'free') {
  const tuner = createTuner(toSettings({ strategy }), guide);
  const telling = new Telling();
  for (const key of keys) step(tuner, { kind: 'note-on', atMs: 0, part: 0, key }, telling);
  step(tuner, { kind: 'time', atMs: 500 }, telling);
  return { tuner, telling };
}

/** Says the same of every note. */
function always(point: string | undefined, offsetCents?: number): Guide {
  const vector = point === undefined ? undefined : ratio(point);
  return {
    frameOf: () => vector,
    pointOf: () => undefined,
    offsetOf: () => offsetCents,
    isLeaving: () => false,
  };
}

describe('a tuner with a guide', () => {
  test('puts a note where the guide says, in the octave of its key', () => {
    const { tuner } = play(always('81/64'), [64, 76]);
    expect(tuner.notes.map(({ point }) => formatRatio(point))).toEqual(['81/64', '81/32']);
  });

  test('chooses alone where the guide has nothing', () => {
    const { tuner } = play(always(undefined), [60, 64, 67]);
    expect(tuner.notes.map(({ point }) => formatRatio(point))).toEqual(['1/1', '5/4', '3/2']);
  });

  test('takes primes above 5 from the guide, and remembers the note without them', () => {
    const guide: Guide = { ...always('16/9'), pointOf: () => ratio('7/4') };
    const { tuner } = play(guide, [70]);
    expect(formatRatio(tuner.notes[0].point)).toBe('7/4');
    expect(formatRatio(tuner.notes[0].frame)).toBe('16/9');
  });

  test.each(['free', 'anchored'] as const)("is at the guide's offset, under %s too", (strategy) => {
    const { tuner, telling } = play(always('5/4', 7), [64], strategy);
    expect(tuner.offset.cents).toBe(7);
    expect(telling.told.map((one) => ('cents' in one ? one.cents : 0))).toEqual([
      6400 - 13.686286135165208 + 7,
    ]);
  });

  test("is drawn home under pull from the guide's offset", () => {
    const { tuner, telling } = play(always('5/4', 7), [64], 'pull');
    expect(telling.told[0]).toMatchObject({ what: 'start', cents: 6400 - 13.686286135165208 + 7 });
    // Half a second at 3 cents a second.
    expect(tuner.offset.cents).toBeCloseTo(8.5, 9);
  });

  test('gets the offset before a strike, and enters its own moves separately from the pull', () => {
    const heard: number[] = [];
    const guide: Guide = {
      ...always('1/1'),
      offsetOf: (_, beforeCents) => {
        heard.push(beforeCents);
        return heard.length === 1 ? undefined : beforeCents + 20;
      },
    };
    const { tuner, telling } = play(guide, [60], 'pull');
    step(tuner, { kind: 'note-on', atMs: 500, part: 0, key: 72 }, telling);
    step(tuner, { kind: 'time', atMs: 1500 }, telling);
    expect(heard).toEqual([0, 0]);
    step(tuner, { kind: 'note-on', atMs: 1500, part: 0, key: 48 }, telling);
    expect(heard[2]).toBeCloseTo(17, 9);
    step(tuner, { kind: 'silence', atMs: 1600, part: 0 }, telling);
    const entries = telling.entries.flatMap((one) => (one.kind === 'offset' ? [one] : []));
    expect(entries.map(({ cause }) => cause)).toEqual(['plan', 'plan', 'pull']);
    const [first, second, pulled] = entries.map(({ cents }) => cents);
    expect(first).toBeCloseTo(20, 9);
    expect(second).toBeCloseTo(20, 9);
    // From the first of the two on, to the end.
    expect(pulled).toBeCloseTo(-3.3, 9);
    expect(first + second + pulled).toBeCloseTo(tuner.offset.cents, 9);
  });

  test('enters the moves of the plan as planned', () => {
    const guide: Guide = { ...always('1/1'), offsetOf: (id) => 5 * id };
    const { tuner, telling } = play(guide, [60], 'anchored');
    step(tuner, { kind: 'note-on', atMs: 500, part: 0, key: 72 }, telling);
    step(tuner, { kind: 'time', atMs: 1000 }, telling);
    expect(telling.entries).toMatchObject([{ kind: 'offset', cause: 'plan', struck: 1, tied: 1 }]);
    expect(tuner.offset.cents).toBe(5);
    expect(tuner.ledger.totals.glidedCents).toBeCloseTo(5, 9);
  });

  test('lets tied and new notes glide together, pure to each other, except for those about to end', () => {
    const guide: Guide = {
      ...always('1/1'),
      offsetOf: (id) => (id < 2 ? 0 : 5),
      isLeaving: (id) => id === 0,
    };
    const { tuner, telling } = play(guide, [48, 60]);
    telling.told.length = 0;
    step(tuner, { kind: 'note-on', atMs: 500, part: 0, key: 72 }, telling);
    step(tuner, { kind: 'note-off', atMs: 560, part: 0, key: 48 }, telling);
    step(tuner, { kind: 'time', atMs: 1000 }, telling);
    const heard = (key: number) =>
      telling.told.flatMap((one) => ('cents' in one && one.key === key ? [one.cents - 100 * key] : []));
    expect(heard(60)).toHaveLength(6);
    // The new one starts where the tied one is.
    expect(heard(72)).toEqual([expect.closeTo(0, 9), ...heard(60).map((cents) => expect.closeTo(cents, 9))]);
    expect(heard(60).at(-1)).toBeCloseTo(5, 9);
    expect(heard(48)).toEqual([]);
  });

  test('has a ledger that balances, whatever the guide says', () => {
    const guided = fc.record({
      commas: fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 1, maxLength: 9 }),
      offsets: fc.array(fc.double({ min: -60, max: 60, noNaN: true }), { minLength: 1, maxLength: 7 }),
      knows: fc.integer({ min: 0, max: 60 }),
    });
    forAll([settings({ limit: 5 }), playing(), guided], 200, (chosen, events, { commas, offsets, knows }) => {
      // Keys in the order they are struck: what a piece known beforehand would say.
      const keys = events.flatMap((event) => (event.kind === 'note-on' ? [event.key] : []));
      const tonic = chosen.home.tonic.keyClass;
      const guide: Guide = {
        frameOf: (id) =>
          id < knows
            ? multiply(C_JUST.points[(keys[id] - tonic + 120) % 12], power(COMMA, commas[id % commas.length]))
            : undefined,
        pointOf: () => undefined,
        // Under temper nobody says where the offset stands.
        offsetOf: (id) => (chosen.strategy === 'temper' ? undefined : offsets[id % offsets.length]),
        isLeaving: (id) => id % 3 === 0,
      };
      const auditor = new Auditor(chosen, guide);
      auditor.play([...events, ...letGo(endOf(events) + 7)]);
      const moves = auditor.entries.reduce((sum, one) => sum + (one.kind === 'offset' ? one.cents : 0), 0);
      expect(moves).toBeCloseTo(auditor.tuner.offset.cents, 6);
    });
  });
});
