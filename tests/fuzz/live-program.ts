import { mutateBytes } from './mutate-bytes.js';
import type { Random } from './random.js';

/** What happens on a stage: a piece of the stream comes in as one callback of the driver, or something else does. */
export type LiveAct =
  | { readonly kind: 'bytes'; readonly waitMs: number; readonly bytes: number[] }
  | { readonly kind: 'panic' | 'keys' | 'synth' };

const WAITS_MS = [0, 0, 1, 9, 31, 700] as const;
const PANIC = 6;
const REPLUG = 7;
const MOST_BYTES = 32;

/**
 * An input as what happens: after the first byte, which chooses the settings, each piece begins with a byte that says what
 * it is: in its three high bits how long before it was quiet, in the five low ones how many bytes it has. Every input
 * means something.
 */
export function readProgram(input: Uint8Array): LiveAct[] {
  const acts: LiveAct[] = [];
  for (let at = 1; at < input.length; ) {
    const what = input[at] >> 5;
    const count = 1 + (input[at] & 31);
    at++;
    if (what === PANIC) acts.push({ kind: 'panic' });
    else if (what === REPLUG) acts.push({ kind: count % 2 === 1 ? 'keys' : 'synth' });
    else {
      acts.push({ kind: 'bytes', waitMs: WAITS_MS[what], bytes: [...input.subarray(at, at + count)] });
      at += count;
    }
  }
  return acts;
}

/** An input, of nothing or out of those known. */
export function generateProgram(random: Random, known: readonly Uint8Array[]): Uint8Array {
  if (random.oneIn(3)) return mutateBytes(random, random.pick(known), random.pick(known));
  const bytes = [random.below(256)];
  const stream = generateStream(random);
  for (let at = 0; at < stream.length; ) {
    if (random.oneIn(60)) bytes.push((random.pick([PANIC, REPLUG]) << 5) | random.below(32));
    const count = Math.min(stream.length - at, 1 + random.below(random.oneIn(3) ? MOST_BYTES : 4));
    bytes.push((random.below(WAITS_MS.length) << 5) | (count - 1), ...stream.slice(at, at + count));
    at += count;
  }
  return Uint8Array.from(bytes);
}

/** A stream as keyboards send it, and worse: running status, real time inside messages, SysEx cut short, noise. */
function generateStream(random: Random): number[] {
  const stream: number[] = [];
  let running = 0;
  for (let left = 1 + random.below(30); left > 0; left--) {
    const message = generateMessage(random);
    const isRunning = message[0] === running && message[0] < 0xf0 && random.oneIn(2);
    running = message[0];
    const sent = isRunning ? message.slice(1) : message;
    if (random.oneIn(12)) sent.splice(random.below(sent.length + 1), 0, 0xf8 | random.below(8));
    if (random.oneIn(20)) sent.splice(random.below(sent.length), 1 + random.few(3));
    if (random.oneIn(30)) sent.push(...random.bytes(1 + random.few(5)));
    stream.push(...sent);
  }
  return stream;
}

function generateMessage(random: Random): number[] {
  const channel = random.pick([0, 0, 0, 0, 1, 9, 10, 15]);
  const key = random.oneIn(12) ? random.pick([0, 1, 126, 127]) : 55 + random.below(14);
  switch (random.below(14)) {
    case 0:
    case 1:
    case 2:
    case 3:
    case 4:
      return [0x90 | channel, key, random.oneIn(4) ? 0 : 1 + random.below(127)];
    case 5:
    case 6:
    case 7:
      return [0x80 | channel, key, random.below(128)];
    case 8:
      return [0xb0 | channel, random.pick([64, 66, 67, 69]), random.pick([0, 127])];
    case 9:
      return [0xb0 | channel, random.below(128), random.pick([0, 1, 2, 6, 12, 63, 64, 100, 127])];
    case 10:
      return random.oneIn(2)
        ? [0xe0 | channel, ...random.bytes(2, 128)]
        : [0xa0 | channel, key, random.below(128)];
    case 11:
      return [random.pick([0xc0, 0xd0]) | channel, random.below(128)];
    case 12:
      return random
        .pick([[0xf1, 5], [0xf2, 1, 2], [0xf3, 9], [0xf4], [0xf5], [0xf6], [0xf7], [0xff], [0xfe]])
        .slice();
    default:
      return random.oneIn(4)
        ? [0xf0, 0x7e, 0x7f, 9, random.pick([1, 2, 3]), 0xf7]
        : [0xf0, ...random.bytes(random.below(40), 128), random.oneIn(5) ? 0x90 : 0xf7];
  }
}
