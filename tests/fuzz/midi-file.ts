import { readdirSync, readFileSync } from 'node:fs';
import {
  formatMidiFile,
  META,
  type MidiFile,
  parseMidiFile,
  type TrackEvent,
  tracksOf,
} from '../../src/core/midi/index.js';
import type { Problem } from '../../src/core/outcome.js';
import { takeApart, toWholeEvents } from './loose-midi.js';
import { mutateBytes } from './mutate-bytes.js';
import { generateMidi, mutateMidi, wrapLoosely } from './mutate-midi.js';
import type { Random } from './random.js';
import { must, type Target, toHexText } from './target.js';

const DEMO = new URL('../../configs/demo/', import.meta.url);
/** The longest wait one delta-time holds. Standard MIDI Files 1.0, Conventions */
const LONGEST_WAIT = 0x0fffffff;
/** Beyond what an event needs anyway, written without running status and with the longest wait. */
const WRITTEN_PER_BYTE = 4;
const WRITTEN_MORE = 64;

/** Small files to begin with: the demo pieces. */
export const DEMO_FILES: readonly Uint8Array[] = readdirSync(DEMO)
  .sort()
  .map((name) => new Uint8Array(readFileSync(new URL(name, DEMO))));

/** A file of any kind, good or bad, of nothing or out of those known. */
export function generateMidiInput(random: Random, known: readonly Uint8Array[]): Uint8Array {
  if (random.oneIn(6)) return generateMidi(random);
  const made = random.oneIn(8)
    ? mutateBytes(random, random.pick(known), random.pick(known))
    : mutateMidi(random, random.oneIn(3) ? generateMidi(random) : random.pick(known), random.pick(known));
  return random.oneIn(12) ? wrapLoosely(random, made) : made;
}

/**
 * Reads, writes, reads: either the same events come back with the same ticks and bytes, or there is a problem with a
 * code and an offset that lies within the input. What is made of the input is no more than a small multiple of it.
 */
export const midiFile: Target = {
  name: 'midi-file',
  share: 520,
  first: DEMO_FILES,
  generate: generateMidiInput,
  check(input) {
    const before = toHexText(input);
    const outcome = parseMidiFile(input);
    must(toHexText(input) === before, () => 'the reader changed its input');
    if (!outcome.ok) {
      checkProblem(outcome.problem, input.length);
      return toWords(outcome.problem);
    }
    const { file, warnings } = outcome.value;
    for (const warning of warnings) checkProblem(warning, input.length);
    checkSize(file, input.length);
    if (file.wrapper === 'none' && !warnings.some(({ code }) => code === 'SMF_TRACK_PADDING'))
      checkEvents(file, input);
    const written = formatMidiFile(file);
    const bridges = countBridges(file);
    const bound = WRITTEN_PER_BYTE * input.length + WRITTEN_MORE + 7 * bridges;
    must(written.length <= bound, () => `${written.length} bytes written of ${input.length}`);
    const again = parseMidiFile(written);
    must(again.ok, () => `what was written can't be read: ${again.ok ? '' : again.problem.message}`);
    const expected = bridge(file);
    must(isSameFile(again.value.file, expected), () => 'another file came back');
    const odd = again.value.warnings.filter(({ code }) => code !== 'SMF_NO_TRACKS');
    must(odd.length === 0, () => `a warning on what was written: ${odd[0].message}`);
    return `read ${toManner(file)} ${warnings.map(({ code }) => code).join(' ')}`;
  },
};

/** A problem as it is to be: a code, a sentence, and where. */
function checkProblem({ code, message, advice, offset }: Problem, length: number): void {
  must(/^SMF_[A-Z_]+$/.test(code), () => `code ${code}`);
  must(message.length > 20 && message.length < 400 && advice.length > 10, () => `message ${message}`);
  const isWithin = offset !== undefined && Number.isInteger(offset) && offset >= 0 && offset <= length;
  must(isWithin, () => `offset ${offset} in ${length} bytes: ${message}`);
}

/** Every event took a byte at least, and no byte is in two of them; one end-of-track is added to each track. */
function checkSize(file: MidiFile, length: number): void {
  let events = 0;
  let bytes = file.headerExtra.length;
  const buffers = new Set<ArrayBufferLike>();
  for (const chunk of file.chunks) {
    if (chunk.kind === 'unknown') {
      bytes += chunk.data.length;
      buffers.add(chunk.data.buffer);
      continue;
    }
    events += chunk.events.length;
    for (const event of chunk.events) {
      if (event.kind === 'channel') continue;
      bytes += event.data.length;
      if (event.data.length > 0) buffers.add(event.data.buffer);
    }
  }
  must(events <= length && file.chunks.length <= length, () => `${events} events of ${length} bytes`);
  must(bytes <= length, () => `${bytes} bytes of data of ${length}`);
  must(
    [...buffers].reduce((sum, buffer) => sum + buffer.byteLength, 0) <= length,
    () => 'buffers beyond the input',
  );
}

/** The events are those that somebody else finds, who takes a file apart without asking whether it is one. */
function checkEvents(file: MidiFile, input: Uint8Array): void {
  const theirs = takeApart(input).flatMap(({ events }) =>
    events === undefined ? [] : [toWholeEvents(events)],
  );
  tracksOf(file).forEach(({ events }, track) => {
    const ours = events
      .filter((event) => event.kind !== 'meta' || event.type !== META.endOfTrack)
      .map((event) => `${event.tick} ${toBytesOf(event)}`);
    must(
      ours.join('; ') === theirs[track]?.join('; '),
      () => `track ${track}: ${ours}, not ${theirs[track]}`,
    );
  });
}

function toBytesOf(event: TrackEvent): number[] {
  if (event.kind === 'sysex') return [event.lead, ...event.data];
  if (event.kind === 'meta') return [0xff, event.type, ...event.data];
  const { status, data1, data2 } = event;
  return (status & 0xe0) === 0xc0 ? [status, data1] : [status, data1, data2];
}

/** How many empty texts it takes to bridge waits that are too long. */
function countBridges(file: MidiFile): number {
  return tracksOf(bridge(file)).reduce(
    (sum, { events }, i) => sum + events.length - tracksOf(file)[i].events.length,
    0,
  );
}

/** The file as it must come back: where a wait is longer than a delta-time can be, empty texts stand in it. */
export function bridge(file: MidiFile): MidiFile {
  const chunks = file.chunks.map((chunk) => {
    if (chunk.kind === 'unknown') return chunk;
    const events: TrackEvent[] = [];
    let tick = 0;
    for (const event of chunk.events) {
      for (; event.tick - tick > LONGEST_WAIT; ) {
        tick += LONGEST_WAIT;
        events.push({ kind: 'meta', tick, type: 0x01, data: new Uint8Array(0) });
      }
      tick = event.tick;
      events.push(event);
    }
    return { kind: 'track' as const, events };
  });
  return { ...file, chunks };
}

/** Whether everything in two files is the same: events, ticks and bytes, chunks and header. */
export function isSameFile(a: MidiFile, b: MidiFile): boolean {
  return toText(a) === toText(b);
}

function toText({ format, division, headerExtra, chunks, wrapper }: MidiFile): string {
  const parts = chunks.map((chunk) =>
    chunk.kind === 'unknown'
      ? `${toHexText(chunk.id)} ${toHexText(chunk.data)}`
      : chunk.events.map(toEventText).join('\n'),
  );
  return [format, JSON.stringify(division), toHexText(headerExtra), wrapper, ...parts].join('\n\n');
}

function toEventText(event: TrackEvent): string {
  if (event.kind === 'channel') return `${event.tick} ${event.status} ${event.data1} ${event.data2}`;
  const what = event.kind === 'sysex' ? event.lead : `meta ${event.type}`;
  return `${event.tick} ${what} ${toHexText(event.data)}`;
}

/** What a file is, coarsely. */
function toManner(file: MidiFile): string {
  const events = tracksOf(file).flatMap((track) => track.events);
  const has = (name: string, isOne: (event: TrackEvent) => boolean) => (events.some(isOne) ? name : '');
  return [
    file.format,
    file.division.kind,
    file.wrapper,
    file.chunks.length > tracksOf(file).length ? 'unknown' : '',
    has('channel', ({ kind }) => kind === 'channel'),
    has('sysex', ({ kind }) => kind === 'sysex'),
    has('late', ({ tick }) => tick > LONGEST_WAIT),
  ].join(' ');
}

function toWords({ code, message }: Problem): string {
  return `${code} ${message.replaceAll(/\b[0-9A-F]{2}\b|[0-9]+/g, 'n')}`;
}
