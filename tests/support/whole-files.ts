import { extname } from 'node:path';
import { expect } from 'vitest';
import wavefile from 'wavefile';
import { readElsewhere } from './other-reader.js';

/** What says of a file's bytes that all of it is there, by an independent reader or by how the format ends. */
const ENDS: Readonly<Record<string, (bytes: Buffer) => void>> = {
  '.mid': (bytes) => {
    expect(readElsewhere(bytes).length).toBeGreaterThan(0);
    // Standard MIDI Files 1.0: the lengths of all chunks, header included, make up the file.
    let end = 0;
    for (let at = 0; at < bytes.length; at = end) end = at + 8 + bytes.readUInt32BE(at + 4);
    expect(end).toBe(bytes.length);
  },
  '.wav': (bytes) => {
    const wav = new wavefile.WaveFile(new Uint8Array(bytes));
    const { chunkSize } = wav.data as { chunkSize: number };
    expect(bytes.readUInt32LE(4)).toBe(bytes.length - 8);
    expect(bytes.length - chunkSize).toBeLessThan(200);
  },
  '.json': (bytes) => expect(Object.keys(JSON.parse(String(bytes))).length).toBeGreaterThan(1),
  '.html': (bytes) => expect(String(bytes).trimEnd().endsWith('</html>')).toBe(true),
  '.svg': (bytes) => expect(String(bytes).trimEnd().endsWith('</svg>')).toBe(true),
  // PNG (W3C), 11.2.5: IEND is empty and last.
  '.png': (bytes) => expect(bytes.subarray(-12).toString('latin1')).toBe('\0\0\0\0IEND\xae\x42\x60\x82'),
  '.csv': (bytes) => {
    // RFC 4180: a comma within quotes parts nothing.
    const lines = String(bytes)
      .trimEnd()
      .replaceAll(/"[^"]*"/g, '""')
      .split('\n');
    expect(String(bytes).endsWith('\n')).toBe(true);
    expect(new Set(lines.map((line) => line.split(',').length)).size).toBe(1);
  },
};

/** Fails unless a file is whole, as far as its own bytes say so. */
export function expectWhole(name: string, bytes: Buffer): void {
  const check = ENDS[extname(name)];
  expect(check, name).toBeDefined();
  check(bytes);
}
