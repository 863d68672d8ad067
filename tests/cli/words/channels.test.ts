import { expect, test } from 'vitest';
import { formatChannels } from '../../../src/cli/words/channels.js';

test.each([
  [[3], 'channel 4'],
  [[0, 1], 'channels 1, 2'],
  [[0, 1, 2, 8], 'channels 1 to 3, 9'],
  [[15, 3, 2, 1, 0], 'channels 1 to 4, 16'],
])('%j', (channels, words) => {
  expect(formatChannels(channels)).toBe(words);
});
