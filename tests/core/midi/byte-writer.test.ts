import { describe, expect, test } from 'vitest';
import { ByteWriter, LARGEST_VARIABLE_LENGTH } from '../../../src/core/midi/byte-writer.js';

function write(run: (out: ByteWriter) => void): number[] {
  const out = new ByteWriter();
  run(out);
  return [...out.toBytes()];
}

describe('a byte writer', () => {
  // Standard MIDI Files 1.0, Conventions: the table of variable-length quantities.
  test.each([
    [0x00000000, [0x00]],
    [0x00000040, [0x40]],
    [0x0000007f, [0x7f]],
    [0x00000080, [0x81, 0x00]],
    [0x00002000, [0xc0, 0x00]],
    [0x00003fff, [0xff, 0x7f]],
    [0x00004000, [0x81, 0x80, 0x00]],
    [0x001fffff, [0xff, 0xff, 0x7f]],
    [0x00200000, [0x81, 0x80, 0x80, 0x00]],
    [LARGEST_VARIABLE_LENGTH, [0xff, 0xff, 0xff, 0x7f]],
  ])('writes the variable length %i', (value, bytes) => {
    expect(write((out) => out.variableLength(value))).toEqual(bytes);
  });

  test('writes numbers high byte first, and over what is there', () => {
    expect(
      write((out) => {
        out.uint32(0);
        out.uint16(0x1234);
        out.setUint32(0, 0xfedcba98);
      }),
    ).toEqual([0xfe, 0xdc, 0xba, 0x98, 0x12, 0x34]);
  });

  test('grows by bytes and by stretches longer than all before', () => {
    const wanted = Array.from({ length: 30_000 }, (_, i) => i & 0xff);
    expect(
      write((out) => {
        for (const byte of wanted) out.byte(byte);
      }),
    ).toEqual(wanted);
    expect(write((out) => out.bytes(Uint8Array.from(wanted)))).toEqual(wanted);
  });

  test('shows a part of what was written', () => {
    const out = new ByteWriter();
    out.bytes(Uint8Array.of(1, 2, 3, 4));
    expect([...out.view(1, 3)]).toEqual([2, 3]);
  });
});
