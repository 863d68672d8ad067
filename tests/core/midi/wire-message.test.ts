import { expect, test } from 'vitest';
import { toWireMessage } from '../../../src/core/midi/index.js';

test('a SysEx event is written as it is on the wire', () => {
  expect([...toWireMessage({ kind: 'sysex', tick: 0, lead: 0xf0, data: Uint8Array.of(1, 0xf7) })]).toEqual([
    0xf0, 1, 0xf7,
  ]);
  expect([...toWireMessage({ kind: 'sysex', tick: 0, lead: 0xf7, data: Uint8Array.of(0xf3, 1) })]).toEqual([
    0xf3, 1,
  ]);
});
