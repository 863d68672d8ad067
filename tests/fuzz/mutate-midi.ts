import { numbers } from '../support/numbers.js';
import { type LooseChunk, type LooseEvent, putTogether, takeApart, toVariableLength } from './loose-midi.js';
import { mutateBytes } from './mutate-bytes.js';
import type { Random } from './random.js';

const DIVISIONS =
  numbers(`0 96, 0 1, 0x7f 0xff, 1 0xe0, 0xe7 40, 0xe2 80, 0xe3 1, 0xe8 0xff, 0 0, 0xe7 0, 0x80 0x80,
  0xff 0xff`);
const WAITS = [0, 0, 0, 1, 5, 24, 96, 127, 128, 480, 16_383, 16_384, 2_097_151, 2_097_152, 0x0fffffff];
const LENGTHS = [0, 1, 5, 6, 7, 0xff, 0xffff, 0x7fffffff, 0x80000000, 0xffffffff];
const IDS = ['MTrk', 'MThd', 'XFIH', 'RIFF', 'data', '\0\0\0\0', '\x7f\x7f\x7f\x7f', 'MTrK'];
const METAS = [0x00, 0x01, 0x03, 0x05, 0x06, 0x20, 0x21, 0x2f, 0x51, 0x54, 0x58, 0x59, 0x7f, 0x60];

/** A small file of one or more tracks, as programs write them, running status and all. */
export function generateMidi(random: Random): Uint8Array {
  const format = random.below(3);
  const tracks = format === 0 ? 1 : 1 + random.few(3);
  const division = random.oneIn(3) ? random.pick(DIVISIONS.slice(0, 8)) : DIVISIONS[0];
  const chunks: LooseChunk[] = [toChunk('MThd', [0, format, 0, tracks, ...division])];
  for (let track = 0; track < tracks; track++) {
    const events = generateEvents(random);
    if (!random.oneIn(20))
      events.push({ wait: toVariableLength(random.pick(WAITS)), bytes: [0xff, 0x2f, 0] });
    chunks.push({ ...toChunk('MTrk', []), events });
  }
  return putTogether(chunks);
}

/** Changes a file where it has its joints: events, waits, lengths, chunks, the header; now and then anywhere. */
export function mutateMidi(random: Random, input: Uint8Array, other: Uint8Array): Uint8Array {
  const chunks = takeApart(input);
  const others = takeApart(other);
  for (let changes = 1 + random.few(5); changes > 0; changes--) {
    const tracks = chunks.filter(({ events }) => events !== undefined);
    if (tracks.length === 0 || random.oneIn(6)) mutateChunks(random, chunks, others);
    else mutateEvents(random, random.pick(tracks).events as LooseEvent[], others);
  }
  const bytes = putTogether(chunks);
  return random.oneIn(4) ? mutateBytes(random, bytes, other) : bytes;
}

function generateEvents(random: Random): LooseEvent[] {
  const events: LooseEvent[] = [];
  let running = 0;
  for (let left = random.below(24); left > 0; left--) {
    const event = generateEvent(random);
    const [status] = event.bytes;
    // Running status, where it may stand, and now and then where it may not.
    if (status < 0xf0 && status === running && !random.oneIn(3)) event.bytes.shift();
    else if (status < 0xf0) running = status;
    else if (!random.oneIn(10)) running = 0;
    events.push(event);
  }
  return events;
}

function generateEvent(random: Random): LooseEvent {
  const wait = toVariableLength(random.oneIn(4) ? random.pick(WAITS) : random.below(200), random);
  return { wait, bytes: generateMessage(random) };
}

/** A channel message, meta or SysEx event. Notes most of all, on few keys, so that they meet. */
function generateMessage(random: Random): number[] {
  const channel = random.pick([0, 0, 0, 1, 9, 15]);
  const key = 57 + random.below(12);
  switch (random.below(12)) {
    case 0:
    case 1:
    case 2:
    case 3:
      return [0x90 | channel, key, random.oneIn(5) ? 0 : 1 + random.below(127)];
    case 4:
    case 5:
    case 6:
      return [0x80 | channel, key, random.below(128)];
    case 7:
      return [
        0xb0 | channel,
        random.pick([0, 1, 6, 7, 32, 38, 64, 66, 67, 96, 98, 99, 100, 101, 120, 121, 123, 126]),
        random.pick([0, 1, 63, 64, 127]),
      ];
    case 8:
      return random.oneIn(2)
        ? [0xe0 | channel, ...random.bytes(2, 128)]
        : [0xc0 | channel, random.below(128)];
    case 9:
      return random.oneIn(2) ? [0xd0 | channel, random.below(128)] : [0xa0 | channel, key, random.below(128)];
    case 10: {
      const data = random.bytes(random.pick([0, 1, 2, 3, 4, 5, random.below(140)]));
      return [0xff, random.pick(METAS), ...toVariableLength(data.length, random), ...data];
    }
    default: {
      const data = random.oneIn(3)
        ? [0x7e, 0x7f, 9, random.pick([1, 2, 3]), 0xf7]
        : random.bytes(random.few(8));
      return [random.pick([0xf0, 0xf0, 0xf7]), ...toVariableLength(data.length, random), ...data];
    }
  }
}

function mutateEvents(random: Random, events: LooseEvent[], others: readonly LooseChunk[]): void {
  const at = random.below(events.length);
  const event = events[at];
  const what = event === undefined ? 0 : random.below(10);
  switch (what) {
    case 0:
      events.splice(at, 0, generateEvent(random));
      break;
    case 1:
      events.splice(at, 1 + random.few(4));
      break;
    case 2:
      events.splice(at, 0, ...events.slice(at, at + 1 + random.below(6)).map(copy));
      break;
    case 3:
      event.wait = toVariableLength(random.pick(WAITS), random);
      break;
    case 4:
      // A wait that goes on too long.
      event.wait = [0xff, 0xff, 0xff, random.pick([0x7f, 0xff]), ...random.bytes(random.few(2))];
      break;
    case 5:
      event.bytes = random.oneIn(2) ? event.bytes.slice(1) : event.bytes.slice(0, -1);
      break;
    case 6:
      if (event.bytes.length > 0) event.bytes[random.below(event.bytes.length)] = random.below(256);
      break;
    case 7: {
      const from = others.find((chunk) => chunk.events !== undefined)?.events ?? [];
      const start = random.below(from.length);
      events.splice(at, 0, ...from.slice(start, start + 1 + random.below(12)).map(copy));
      break;
    }
    case 8: {
      const swapped = random.below(events.length);
      [events[at], events[swapped]] = [events[swapped], event];
      break;
    }
    case 9:
      event.bytes = generateMessage(random);
      break;
  }
}

function mutateChunks(random: Random, chunks: LooseChunk[], others: readonly LooseChunk[]): void {
  const at = random.below(chunks.length);
  const chunk = chunks[at];
  const what = chunk === undefined ? 0 : random.below(9);
  switch (what) {
    case 0:
      chunks.splice(at, 0, { ...toChunk(random.pick(IDS), random.bytes(random.below(12))) });
      break;
    case 1:
      chunks.splice(at, 1);
      break;
    case 2:
      chunks.splice(random.below(chunks.length), 0, copyChunk(chunk));
      break;
    case 3: {
      const swapped = random.below(chunks.length);
      [chunks[at], chunks[swapped]] = [chunks[swapped], chunk];
      break;
    }
    case 4:
      chunk.claims = random.oneIn(2) ? random.pick(LENGTHS) : chunk.body.length + random.below(9) - 4;
      break;
    case 5:
      chunk.id = [...Buffer.from(random.pick(IDS), 'latin1')];
      break;
    case 6:
      if (others.length > 0) chunks.splice(at, 0, copyChunk(random.pick(others)));
      break;
    case 7: {
      const header = chunks[0].body;
      header.splice(4, 2, ...random.pick(DIVISIONS));
      break;
    }
    case 8: {
      const header = chunks[0].body;
      if (random.oneIn(2))
        header.splice(0, 4, 0, random.below(4), random.pick([0, 0, 0xff]), random.below(5));
      else header.push(...random.bytes(1 + random.few(4)));
      break;
    }
  }
}

function toChunk(id: string, body: number[]): LooseChunk {
  return { id: [...Buffer.from(id, 'latin1')], claims: undefined, events: undefined, body };
}

const copy = ({ wait, bytes }: LooseEvent): LooseEvent => ({ wait: [...wait], bytes: [...bytes] });

function copyChunk({ id, claims, events, body }: LooseChunk): LooseChunk {
  return { id: [...id], claims, events: events?.map(copy), body: [...body] };
}

/** A RIFF form of type RMID around a file, whose lengths are now and then wrong, and which may hold other chunks too. */
export function wrapLoosely(random: Random, file: Uint8Array): Uint8Array {
  const inside: number[] = [];
  if (random.oneIn(4)) inside.push(...toRiffChunk('LIST', random.bytes(random.below(7)), random));
  inside.push(...toRiffChunk('data', [...file], random));
  if (random.oneIn(4)) inside.push(...toRiffChunk('DISP', random.bytes(random.below(7)), random));
  return Uint8Array.from(toRiffChunk('RIFF', [...Buffer.from('RMID'), ...inside], random));
}

function toRiffChunk(id: string, body: readonly number[], random: Random): number[] {
  const length = random.oneIn(12) ? random.pick(LENGTHS) : body.length;
  const head = [0, 8, 16, 24].map((shift) => (length >>> shift) & 255);
  const padding = body.length % 2 === 1 && !random.oneIn(6) ? [0] : [];
  return [...Buffer.from(id), ...head, ...body, ...padding];
}
