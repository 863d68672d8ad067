import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type PrimeVector, toDeviationCents } from '../../../src/core/theory/index.js';
import { AnchorCost } from '../../../src/core/tuner/anchor-cost.js';
import { STOCK_WEIGHTS } from '../../../src/core/tuner/index.js';
import { toPlace } from '../../../src/core/tuner/pair-cost.js';
import { keysOf, Playing } from '../../support/play.js';

const { tiedPrice, narrowCents, narrowReturn, returnPrice, returnStep, returnCents, returnSeconds } =
  STOCK_WEIGHTS;

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
  for (const key of struck) {
    const last = heard.silent.get(key % 12);
    if (last === undefined || tiedClasses.has(key % 12)) continue;
    const jump = Math.abs(playing.cents(key) - 100 * key - last.cents);
    const fading = Math.exp(-(atMs - last.endedMs) / 1000 / returnSeconds);
    const size = (jump > 5 ? returnStep : 0) + Math.min(3, jump / returnCents);
    cost += returnPrice * (1 + narrowReturn * narrowness) * fading * size;
  }
  return cost;
}

/** Strikes in a choice: their key classes, and the points they stand at. */
function toChoice(playing: Playing, struck: readonly number[]) {
  const classes = [...new Set(struck.map((key) => key % 12))].sort((a, b) => a - b);
  return {
    classes: classes.map((keyClass) => ({
      keyClass,
      count: struck.filter((key) => key % 12 === keyClass).length,
      candidates: [],
    })),
    chosen: classes.map((keyClass) =>
      toCandidate(playing.note(struck.find((key) => key % 12 === keyClass)!).point),
    ),
  };
}

function toCandidate(point: PrimeVector) {
  return { point, place: toPlace(point), deviationCents: toDeviationCents(point), cost: 0 };
}

describe('AnchorCost', () => {
  it('is what is heard afterwards: how far tied notes moved, and silent key classes jumped', () => {
    let compared = 0;
    fc.assert(
      fc.property(passage, leewayCents, (chords, leeway) => {
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
            const { classes, chosen } = toChoice(ahead, struck);
            const cost = new AnchorCost(behind.tuner, behind.nowMs).of(classes, chosen);
            expect(cost).toBeCloseTo(toHeardCost(ahead, struck, behind.nowMs, heard), 6);
            compared++;
          }
          behind.strike(struck).wait(100 + holdMs);
        });
      }),
      { numRuns: 200 },
    );
    expect(compared).toBeGreaterThan(200);
  });

  it('has no price for a comma on the lattice that is none in pitch', () => {
    // The strict anchor: the same chord, a comma lower on the lattice, sounds where it sounded.
    const playing = new Playing({ strategy: 'anchored', leewayCents: 0 });
    const keys = keysOf('C4 E4 G4');
    playing.chord(keys).lift(keys).wait(100);
    const comma = [0, -4, 1, 0, 0, 0] as const;
    const classes = [0, 4, 7].map((keyClass) => ({ keyClass, count: 1, candidates: [] }));
    const places = classes.map(({ keyClass }) => playing.tuner.memory[keyClass]!.point);
    const cost = (shift: number) =>
      new AnchorCost(playing.tuner, playing.nowMs).of(
        classes,
        places.map((from) => {
          return toCandidate([0, from[1] + shift * comma[1], from[2] + shift * comma[2], 0, 0, 0]);
        }),
      );
    expect(cost(0)).toBeCloseTo(0, 9);
    expect(cost(1)).toBeCloseTo(0, 9);
    expect(cost(5)).toBeCloseTo(0, 9);
  });

  it('reckons with the new notes alone where tied ones stay', () => {
    const [follow, stay] = (['follow', 'stay'] as const).map((held) => {
      const playing = new Playing({ strategy: 'anchored', leewayCents: 0, held });
      playing.chord(keysOf('C4 E4'));
      const far = toCandidate([0, 5, 0, 0, 0, 0]);
      return new AnchorCost(playing.tuner, playing.nowMs).of(
        [{ keyClass: 11, count: 1, candidates: [] }],
        [far],
      );
    });
    // The two stand at home as a body. The new note alone would have to move by all of its distance, three by a third.
    const away = toDeviationCents([0, 5, 0, 0, 0, 0]) - toDeviationCents([0, 0, 1, 0, 0, 0]) / 2;
    expect(follow).toBeCloseTo((tiedPrice * 2 * away) / 3, 6);
    expect(stay).toBeCloseTo(tiedPrice * 2 * away, 6);
  });
});
