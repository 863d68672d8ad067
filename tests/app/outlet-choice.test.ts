import { expect, test } from 'vitest';
import { besideOthers, type OutletChoice, toPlain } from '../../src/app/outlet-choice.js';

const PLAIN: OutletChoice = { kind: 'multichannel', bendRange: undefined };

test.each<[string, OutletChoice, number[], readonly number[] | undefined]>([
  ['a zone, which has a track of its own', { kind: 'mpe', bendRange: 48 }, [0, 1], undefined],
  ['plain channels, all but percussion', PLAIN, [0, 3, 9], [1, 2, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15]],
  ['chosen channels', { ...PLAIN, channels: [8, 9, 10] }, [9, 10], [8]],
])('an outlet leaves the channels of others alone: %s', (_, outlet, taken, channels) => {
  expect(besideOthers(outlet, new Set(taken)).channels).toEqual(channels);
});

test('an outlet without a channel of its own is an error that names the others', () => {
  expect(() => besideOthers({ ...PLAIN, channels: [2, 3] }, new Set([2, 3, 4]))).toThrow(
    expect.objectContaining({ code: 'CHANNELS_TAKEN', message: expect.stringContaining('channels 3 to 5') }),
  );
});

test('plain channels instead of a zone protect tails for as long', () => {
  expect(toPlain({ kind: 'mpe', bendRange: 48, members: 3, releaseHoldMs: 20 })).toEqual({
    ...PLAIN,
    releaseHoldMs: 20,
  });
});
