import type { Random } from './random.js';

/** Bytes at the edges of what they may mean. */
const EDGES = [
  0x00, 0x01, 0x3f, 0x40, 0x7f, 0x80, 0x81, 0xbf, 0xc0, 0xef, 0xf0, 0xf4, 0xf7, 0xf8, 0xfe, 0xff,
];

/** Changes bytes here and there without asking what they mean: bits flipped, pieces cut, doubled, taken from elsewhere. */
export function mutateBytes(random: Random, input: Uint8Array, other: Uint8Array): Uint8Array {
  let bytes = [...input];
  for (let changes = 1 + random.few(6); changes > 0; changes--) {
    const at = random.below(bytes.length + 1);
    const length = 1 + random.below(random.oneIn(4) ? bytes.length - at : 8);
    switch (random.below(7)) {
      case 0:
        bytes[Math.min(at, bytes.length)] = (bytes[at] ?? 0) ^ (1 << random.below(8));
        break;
      case 1:
        bytes[Math.min(at, bytes.length)] = random.pick(EDGES);
        break;
      case 2:
        bytes.splice(at, length);
        break;
      case 3:
        bytes.splice(at, 0, ...bytes.slice(at, at + length));
        break;
      case 4:
        bytes.splice(at, 0, ...random.bytes(1 + random.few(6)));
        break;
      case 5: {
        const from = random.below(other.length);
        bytes.splice(at, random.oneIn(2) ? length : 0, ...other.subarray(from, from + length));
        break;
      }
      case 6:
        bytes = bytes.slice(0, random.oneIn(2) ? at : bytes.length);
        break;
    }
  }
  return Uint8Array.from(bytes);
}
