import { expect, test } from 'vitest';
import { isSystemReset } from '../../src/app/system-reset.js';
import { hex } from '../support/midi-bytes.js';

test.each([
  ['General MIDI System on (RP-003)', 'F0 7E 7F 09 01 F7'],
  ['General MIDI System off', 'F0 7E 7F 09 02 F7'],
  ['General MIDI Level 2 on', 'F0 7E 7F 09 03 F7'],
  ['to one device only', 'F0 7E 10 09 01 F7'],
  ['a maker’s extension, device 17', 'F0 41 10 42 12 40 00 7F 00 41 F7'],
  ['another maker’s extension', 'F0 43 10 4C 00 00 7E 00 F7'],
])('a message that resets a receiver is recognised: %s', (_name, bytes) =>
  expect(isSystemReset(hex(bytes))).toBe(true),
);

test.each([
  ['another message of the General MIDI kind', 'F0 7E 7F 09 04 F7'],
  ['an identity request', 'F0 7E 7F 06 01 F7'],
  ['master volume', 'F0 7F 7F 04 01 00 7F F7'],
  ['a reset cut short', 'F0 7E 7F 09 01'],
  ['a reset with more behind it', 'F0 7E 7F 09 01 00 F7'],
  ['another parameter of a maker', 'F0 41 10 42 12 40 00 04 7F 3D F7'],
  ['an empty message', 'F0 F7'],
])('a message that resets no receiver is not taken for one: %s', (_name, bytes) =>
  expect(isSystemReset(hex(bytes))).toBe(false),
);
