import fc from 'fast-check';
import { expect, test } from 'vitest';
import { LiveParser } from '../../../src/core/midi/index.js';
import { findFault } from '../../../src/io/ports/library-links.js';
import { hex, ListSink } from '../../support/midi-bytes.js';
import { amongAll, times } from '../../support/properties.js';

test.each([
  ['90 3C 64', undefined],
  ['C0 05', undefined],
  ['F8', undefined],
  ['F2 00 01', undefined],
  ['F0 F7', undefined],
  ['F0 7E 7F 06 01 F7', undefined],
  ['90 3C', 'it has 2 bytes, and 3 are needed'],
  ['C0 05 05', 'it has 3 bytes, and 2 are needed'],
  ['F8 F8', 'it has 2 bytes, and 1 are needed'],
  ['3C 64', 'it begins with a data byte'],
  ['90 3C 80', 'a status byte stands among its data'],
  ['F0 01 F8 F7', 'a status byte stands among its data'],
  ['F0 01', 'it is a SysEx without its end'],
  ['F0', 'it is a SysEx without its end'],
  ['F0 01 02 03 04 05 06 07 F7', 'it is a SysEx of 9 bytes, and 8 is the most this system carries'],
  ['F7', 'its status byte is undefined in the standard'],
  ['F4', 'its status byte is undefined in the standard'],
  ['FD', 'its status byte is undefined in the standard'],
])('%s: %s', (text, fault) => {
  expect(findFault(hex(text), 8)).toBe(fault);
});

test('nothing at all is no message', () => {
  expect(findFault(new Uint8Array(0), 8)).toBe('it is empty');
});

test('what passes is what a stream parser reads as one message of just these bytes', () => {
  const byte = fc.oneof(
    fc.constantFrom(0xf0, 0xf7, 0xf1, 0xf2, 0xf6, 0xf8, 0xf4, 0xf9, 0x90, 0xc3, 0xe0),
    fc.integer({ min: 0, max: 255 }),
  );
  let passed = 0;
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 6 }), fc.array(byte, { maxLength: 6 }), (plain, biased) => {
      for (const bytes of [plain, Uint8Array.from(biased)]) {
        const sink = new ListSink();
        new LiveParser().feed(bytes, sink);
        const isOne = sink.messages.length === 1 && sink.messages[0].length === bytes.length;
        // The parser passes F9 and FD, which not every system can carry.
        const carried = isOne && bytes[0] !== 0xf9 && bytes[0] !== 0xfd;
        expect(findFault(bytes, 100) === undefined, `${bytes}`).toBe(carried);
        if (carried) passed++;
      }
    }),
    { numRuns: times(20_000) },
  );
  expect(passed).toBeGreaterThan(amongAll(100));
});
