import { mutateBytes } from './mutate-bytes.js';
import { toBytes } from './mutate-text.js';
import type { Random } from './random.js';

/** Keys no piece plays: were one of them to sound, somebody without the token would have struck it. */
export const FORBIDDEN_KEY = 120;

const TEXTS = [
  ...'{"type":"hello","version":3} {"type":"hello","version":3,"token":"x"}'.split(' '),
  ...'{"type":"hello","version":4}'.split(' '),
  `{"type":"play","act":"on","key":${FORBIDDEN_KEY},"velocity":100}`,
  `{"type":"play","act":"on","key":${FORBIDDEN_KEY + 1},"velocity":1}`,
  ...'{"type":"control","what":"panic"} {"type":"control","what":"strategy","value":"free"}'.split(' '),
  ...'{"type":"control","what":"a4","value":415} {"type":"piece","act":"stop"}'.split(' '),
  ...'{"type":"piece","act":"file","upload":1,"name":"a","bytes":4,"part":0,"parts":1,"data":"TVRoZA=="}'.split(
    ' ',
  ),
  '',
  ...'{ [] null "'.split(' '),
  ...['\0', `{"type":"${'x'.repeat(5000)}"}`, '{"__proto__":{"mayControl":true}}', '['.repeat(3000)],
];
/** RFC 6455, 5.2 and 11.8. */
const OPCODES = [1, 1, 1, 1, 1, 2, 0, 8, 9, 10, 3, 7, 11, 15];
/** RFC 6455, 7.4: some that may be sent, and some that may not. */
const CLOSE_CODES = [
  1000, 1001, 1002, 1003, 1007, 1011, 3000, 4999, 0, 999, 1004, 1005, 1006, 1015, 2999, 5000, 65_535,
];

/** WebSocket frames as they come after the handshake, good and bad: masks, reserved bits, lengths that lie, fragments. */
export function generateFrames(random: Random): Uint8Array {
  const bytes: number[] = [];
  for (let left = 1 + random.few(6); left > 0; left--) {
    if (random.oneIn(6)) bytes.push(...fragments(random));
    else bytes.push(...frame(random, random.pick(OPCODES), true, payload(random)));
  }
  if (random.oneIn(5)) return mutateBytes(random, Uint8Array.from(bytes), toBytes(random.pick(TEXTS)));
  return Uint8Array.from(random.oneIn(12) ? bytes.slice(0, random.below(bytes.length)) : bytes);
}

/** A message in pieces, with a control frame between them, or another message begun before it has ended. */
function fragments(random: Random): number[] {
  const text = [...toBytes(random.pick(TEXTS))];
  const cut = random.below(text.length);
  const between = random.oneIn(2) ? frame(random, random.pick([9, 10, 8, 1, 2]), true, payload(random)) : [];
  const tiny = Array.from({ length: random.oneIn(8) ? 200 : 0 }, () => frame(random, 0, false, [])).flat();
  return [
    ...frame(random, 1, false, text.slice(0, cut)),
    ...between,
    ...tiny,
    ...frame(random, 0, !random.oneIn(6), text.slice(cut)),
  ];
}

function payload(random: Random): number[] {
  switch (random.below(6)) {
    case 0: {
      const code = random.pick(CLOSE_CODES);
      return [code >> 8, code & 255, ...random.bytes(random.few(4))];
    }
    case 1:
      return random.bytes(random.pick([0, 1, 2, 124, 125, 126, 127, 4096, 4097]));
    default:
      return [...toBytes(random.pick(TEXTS))];
  }
}

function frame(random: Random, opcode: number, isLast: boolean, data: readonly number[]): number[] {
  const reserved = random.oneIn(25) ? random.pick([0x40, 0x20, 0x10, 0x70]) : 0;
  const isMasked = !random.oneIn(20);
  const length = random.oneIn(25)
    ? random.pick([0, 125, 126, 4097, 65_536, 2 ** 31, 2 ** 40, 2 ** 53])
    : data.length;
  const mask = isMasked ? random.bytes(4) : [];
  const body = isMasked ? data.map((byte, i) => byte ^ mask[i % 4]) : data;
  return [
    (isLast ? 0x80 : 0) | reserved | opcode,
    ...toLength(random, length, isMasked ? 0x80 : 0),
    ...mask,
    ...body,
  ];
}

/** In the fewest bytes, as it must be, or now and then in more. */
function toLength(random: Random, length: number, bit: number): number[] {
  const form = length < 126 ? 0 : length < 65_536 ? 1 : 2;
  const chosen = random.oneIn(30) ? Math.max(form, 1 + random.below(2)) : form;
  if (chosen === 0) return [bit | length];
  const bytes = Array.from({ length: chosen === 1 ? 2 : 8 }, (_, i) => i);
  return [
    bit | (chosen === 1 ? 126 : 127),
    ...bytes.map((i) => Math.floor(length / 256 ** (bytes.length - 1 - i)) % 256),
  ];
}
