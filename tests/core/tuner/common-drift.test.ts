import { describe, expect, it } from 'vitest';
import { formatRatio, ratio, UNISON } from '../../../src/core/theory/index.js';
import { createTuner, type Ledger, toCommonDrift, toSettings } from '../../../src/core/tuner/index.js';

/** Books in which some key classes have come back elsewhere. */
function booksOf(returned: Readonly<Record<number, string>>): Ledger {
  const { ledger } = createTuner(toSettings({}));
  for (const [keyClass, text] of Object.entries(returned)) {
    ledger.accounts[Number(keyClass)] = {
      firstPoint: UNISON,
      firstOffsetCents: 0,
      lastPoint: ratio(text),
      lastOffsetCents: 0,
      lastPitchCents: 0,
      returned: ratio(text),
    };
  }
  return ledger;
}

describe('toCommonDrift', () => {
  it.each([
    ['most of the notes', { 0: '1/1', 4: '80/81', 7: '80/81' }, [60, 64, 67], '80/81'],
    ['the lowest of equals', { 0: '81/80', 4: '80/81' }, [60, 64], '81/80'],
    ['the lowest of equals, the other way up', { 0: '81/80', 4: '80/81' }, [52, 60], '80/81'],
    ['key classes, whatever the octave', { 0: '80/81', 4: '1/1' }, [48, 60, 64], '80/81'],
    ['no keys', { 0: '80/81' }, [], '1/1'],
    ['a key never heard', { 0: '80/81' }, [61], '1/1'],
  ])('goes by %s', (_what, returned, keys, expected) => {
    expect(formatRatio(toCommonDrift(booksOf(returned), keys))).toBe(expected);
  });
});
