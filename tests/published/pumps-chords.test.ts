import { describe, expect, test } from 'vitest';
import { formatRatio, multiply, type PrimeVector, power, ratio } from '../../src/core/theory/index.js';
import { toReturned } from '../../src/core/tuner/index.js';
import { keyOf, keysOf, Playing } from '../support/play.js';
import { PUMPS, type Pump, pumpPoint } from '../support/pumps.js';

/**
 * Plays a pump so many times over, `free`, with the default weights; checks every note of every chord against the exact
 * ratios, and ends on the first chord.
 */
function play(pump: Pump, passes: number, holdMs: number): Playing {
  const playing = new Playing({ limit: pump.limit, strategy: 'free' });
  let origin: PrimeVector | undefined;
  for (let i = 0; i <= passes * pump.chords.length; i++) {
    const index = i % pump.chords.length;
    const pass = Math.floor(i / pump.chords.length);
    const { keys: names, tied } = pump.chords[index];
    const keys = keysOf(names);
    playing.chord(keys, tied === undefined ? keys : keysOf(tied), holdMs);
    origin ??= playing.point(keys.find((key) => key % 12 === rootClass(pump)) ?? keys[0]);
    const from = origin;
    const found = keys.map((key) => formatRatio(withoutOctaves(playing.point(key))));
    const exact = keys.map((key) =>
      formatRatio(withoutOctaves(multiply(pumpPoint(pump, index, pass, key), from))),
    );
    // `expect` is slow; it is asked only for its words.
    if (found.join() !== exact.join()) expect(found, `chord ${index} of pass ${pass}`).toEqual(exact);
  }
  return playing;
}

const rootClass = (pump: Pump): number => keyOf(`${pump.chords[0].root}4`) % 12;

const withoutOctaves = ([, ...others]: PrimeVector): PrimeVector => [0, ...others];

describe.each([
  [2000, 1, PUMPS.slice(0, -1)],
  [2000, 100, PUMPS.slice(0, -1)],
  [4000, 1, PUMPS],
  [4000, 100, PUMPS],
] as const)(
  'every note of every chord of a pump is exact at %i ms a chord, %i passes',
  (holdMs, passes, pumps) => {
    test.each(pumps)('$name', (pump) => {
      const { tuner } = play(pump, passes, holdMs);
      expect(formatRatio(toReturned(tuner.ledger, rootClass(pump)))).toBe(
        formatRatio(power(ratio(pump.drift), passes)),
      );
    });
  },
);
