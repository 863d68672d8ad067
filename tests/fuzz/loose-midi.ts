import type { Random } from './random.js';

/** An event as its bytes: its wait, and all the rest. What it means is nobody's business here. */
export interface LooseEvent {
  wait: number[];
  bytes: number[];
}

/** A chunk with the length it has, or claims to have. */
export interface LooseChunk {
  id: number[];
  /** What the length says, where it isn't the truth. */
  claims: number | undefined;
  /** Of a track; undefined for other chunks. */
  events: LooseEvent[] | undefined;
  body: number[];
}

const TRACK = [0x4d, 0x54, 0x72, 0x6b];

/**
 * Takes a file apart into chunks and events as far as it goes, without asking whether it is one. What is left over at the
 * end of a track is one event more.
 */
export function takeApart(bytes: Uint8Array): LooseChunk[] {
  const chunks: LooseChunk[] = [];
  for (let at = 0; at < bytes.length; ) {
    const id = [...bytes.subarray(at, at + 4)];
    const length = readUint32(bytes, at + 4);
    const end = Math.min(bytes.length, at + 8 + length);
    const body = [...bytes.subarray(at + 8, end)];
    const isTrack = id.every((byte, i) => byte === TRACK[i]);
    chunks.push({
      id,
      claims: body.length === length ? undefined : length,
      events: isTrack ? toEvents(body) : undefined,
      body,
    });
    at = Math.max(end, at + 8);
  }
  return chunks;
}

/** Puts it together again. */
export function putTogether(chunks: readonly LooseChunk[]): Uint8Array {
  const bytes: number[] = [];
  for (const { id, claims, events, body } of chunks) {
    const inside = events?.flatMap(({ wait, bytes: rest }) => [...wait, ...rest]) ?? body;
    const length = claims ?? inside.length;
    bytes.push(
      ...id,
      (length >>> 24) & 255,
      (length >>> 16) & 255,
      (length >>> 8) & 255,
      length & 255,
      ...inside,
    );
  }
  return Uint8Array.from(bytes);
}

/**
 * The events of a loose track but its ends, each with its tick and its bytes, the status in front where it was left out.
 * @see Standard MIDI Files 1.0, Track Chunks: running status
 */
export function toWholeEvents(events: readonly LooseEvent[]): string[] {
  const whole: string[] = [];
  let tick = 0;
  let running = 0;
  for (const { wait, bytes } of events) {
    tick += wait.reduce((sum, byte) => sum * 128 + (byte & 127), 0);
    const [lead] = bytes;
    if (lead >= 0x80 && lead < 0xf0) running = lead;
    if (lead === 0xff && bytes[1] === 0x2f) continue;
    // What lengths are written with is not what they say.
    const from = lead === 0xff ? 2 : 1;
    const data =
      lead >= 0xf0
        ? [...bytes.slice(0, from), ...bytes.slice(from + takeVariable(bytes, from).length)]
        : bytes;
    whole.push(`${tick} ${lead < 0x80 ? [running, ...data] : data}`);
  }
  return whole;
}

/** A variable-length quantity, sometimes with leading bytes of no worth. */
export function toVariableLength(value: number, random?: Random): number[] {
  const bytes = [value & 127];
  for (let rest = value >>> 7; rest > 0; rest >>>= 7) bytes.unshift((rest & 127) | 128);
  while (random?.oneIn(40) && bytes.length < 6) bytes.unshift(128);
  return bytes;
}

function toEvents(body: readonly number[]): LooseEvent[] {
  const events: LooseEvent[] = [];
  let running = 0;
  for (let at = 0; at < body.length; ) {
    const wait = takeVariable(body, at);
    at += wait.length;
    const from = at;
    const lead = body[at] ?? 0;
    if (lead >= 0xf0) {
      at += lead === 0xff ? 2 : 1;
      const length = takeVariable(body, at);
      at += length.length + length.reduce((sum, byte) => (sum << 7) | (byte & 127), 0);
    } else {
      if (lead >= 0x80) {
        running = lead;
        at++;
      }
      at += (running & 0xe0) === 0xc0 ? 1 : 2;
    }
    if (at < from || at > body.length) at = body.length;
    events.push({ wait, bytes: body.slice(from, at) });
  }
  return events;
}

function takeVariable(body: readonly number[], at: number): number[] {
  let end = at;
  while (end < body.length && end - at < 3 && body[end] >= 0x80) end++;
  return body.slice(at, end + 1);
}

function readUint32(bytes: Uint8Array, at: number): number {
  return [0, 1, 2, 3].reduce((value, i) => value * 256 + (bytes[at + i] ?? 0), 0);
}
