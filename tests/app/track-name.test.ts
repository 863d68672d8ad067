import { expect, test } from 'vitest';
import { toText } from '../../src/app/track-name.js';

test.each([
  ['UTF-8', [0x42, 0x61, 0xc3, 0x9f], 'Baß'],
  ['Latin 1, which is no UTF-8', [0x42, 0x61, 0xdf], 'Baß'],
  ['terminal commands and line ends', [0x1b, 0x5b, 0x31, 0x6d, 0x41, 0x0a, 0x42, 0x07], '[1mA B'],
  ['nothing', [], ''],
])('the text of a file is decoded: %s', (_, bytes, text) =>
  expect(toText(Uint8Array.from(bytes))).toBe(text),
);
