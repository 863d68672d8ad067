import { expect, test } from 'vitest';
import { toChannelLines } from '../../../src/page/words/channel-lines.js';

test.each([
  [1, 8171, ['ch 2', 'bend −21']],
  [15, 9000, ['ch 16', 'bend +808']],
  [0, 8192, ['ch 1', 'bend 0']],
  // Keys that are tuned by themselves have no bend, and what no outlet plays has no channel.
  [9, null, ['ch 10']],
  [null, null, []],
  [null, 8171, []],
] as const)('channel %s, bend %s: %j', (channel, bend, lines) => {
  expect(toChannelLines({ channel, bend })).toEqual(lines);
});
