import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toDeviationCents } from '../../../src/core/theory/index.js';
import { toAnchorCost } from '../../../src/core/tuner/anchor-cost.js';
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

/** What the anchor did to a strike, by what was told of each pitch: what it would have cost to know it beforehand. */
function toHeardCost(
  before: Playing,
  after: Playing,
  struck: readonly number[],
  lastHeard: LastHeard,
): number {
  const narrowness = narrowCents / (narrowCents + after.tuner.settings.leewayCents);
  let cost = 0;
  for (const note of before.tuner.notes) {
    const moved = after.cents(note.key) - lastHeard.tied.get(note.key)!;
    cost += narrowness * tiedPrice * Math.abs(moved);
  }
  const classes = new Set(before.tuner.notes.map(({ keyClass }) => keyClass));
  for (const key of struck) {
    const last = lastHeard.silent.get(key % 12);
    if (last === undefined || classes.has(key % 12)) continue;
    const jump = Math.abs(after.cents(key) - 100 * key - last.cents);
    const fading = Math.exp(-(before.nowMs - last.endedMs) / 1000 / returnSeconds);
    const size = (jump > 5 ? returnStep : 0) + Math.min(3, jump / returnCents);
    cost += returnPrice * (1 + narrowReturn * narrowness) * fading * size;
  }
  return cost;
}

interface LastHeard {
  readonly tied: Map<number, number>;
  readonly silent: Map<number, { cents: number; endedMs: number }>;
}

describe('toAnchorCost', () => {
  it('is what is heard afterwards: how far tied notes moved, and silent key classes jumped', () => {
    let compared = 0;
    fc.assert(
      fc.property(passage, leewayCents, (chords, leeway) => {
        const playing = new Playing({ strategy: 'anchored', leewayCents: leeway });
        const silent: LastHeard['silent'] = new Map();
        for (const { keys, tied, holdMs } of chords) {
          const down = playing.tuner.notes.map(({ key }) => key);
          const kept = down.filter((key) => keys.includes(key) && tied.includes(key));
          for (const key of down) {
            if (kept.includes(key)) continue;
            silent.set(key % 12, { cents: playing.cents(key) - 100 * key, endedMs: playing.nowMs });
            playing.lift([key]);
          }
          const struck = keys.filter((key) => !kept.includes(key));
          const { tuner } = playing;
          const fresh = tuner.ledger.accounts.every((account) => account === undefined);
          if (struck.length > 0 && !fresh) {
            const heard = { tied: new Map(kept.map((key) => [key, playing.cents(key)])), silent };
            const before = snapshot(playing);
            const costOf = toAnchorCost(tuner, playing.nowMs);
            playing.strike(struck).wait(100);
            const classes = [...new Set(struck.map((key) => key % 12))].sort((a, b) => a - b);
            const choices = classes.map((keyClass) => ({
              keyClass,
              count: struck.filter((key) => key % 12 === keyClass).length,
              candidates: [],
            }));
            const chosen = classes.map((keyClass) => {
              const { point } = playing.note(struck.find((key) => key % 12 === keyClass)!);
              return { point, place: toPlace(point), deviationCents: toDeviationCents(point), cost: 0 };
            });
            expect(costOf(choices, chosen)).toBeCloseTo(toHeardCost(before, playing, struck, heard), 6);
            compared++;
            playing.wait(holdMs);
          } else {
            playing.strike(struck).wait(100 + holdMs);
          }
        }
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
      toAnchorCost(playing.tuner, playing.nowMs)(
        classes,
        places.map((from) => {
          const point = [0, from[1] + shift * comma[1], from[2] + shift * comma[2], 0, 0, 0] as const;
          return { point, place: toPlace(point), deviationCents: toDeviationCents(point), cost: 0 };
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
      const point = [0, 5, 0, 0, 0, 0] as const;
      const far = { point, place: toPlace(point), deviationCents: 9.775, cost: 0 };
      return toAnchorCost(playing.tuner, playing.nowMs)([{ keyClass: 11, count: 1, candidates: [] }], [far]);
    });
    // The two stand at home as a body. The new note alone would have to move by all of its distance, three by a third.
    const away = 9.775 - toDeviationCents([0, 0, 1, 0, 0, 0]) / 2;
    expect(follow).toBeCloseTo((tiedPrice * 2 * away) / 3, 6);
    expect(stay).toBeCloseTo(tiedPrice * 2 * away, 6);
  });
});

/** What was sounding, and when: the notes themselves are the tuner's and go on changing. */
function snapshot(playing: Playing): Playing {
  return { nowMs: playing.nowMs, tuner: { notes: playing.tuner.notes.slice() } } as unknown as Playing;
}
