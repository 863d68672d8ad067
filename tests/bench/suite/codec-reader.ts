import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { parseMidi, writeMidi } from 'midi-file';
import { BasicMIDI } from 'spessasynth_core';
import { formatMidiFile, parseMidiFile, tracksOf } from '../../../src/core/midi/index.js';
import type { CodecRun, Library } from './codec-libraries.js';

/**
 * One library reads a file and writes it again: `node codec-reader.js LIBRARY FILE [read]`, in a process of its own, cold as
 * a command is that does it once. Says how long both took, in seconds, and what it has read: how many notes began, and a
 * sum over ticks, channels and keys that all libraries have to agree on. With `read` it only reads.
 */
const require = createRequire(import.meta.url);

/** A note-on as every library has it, with its tick from the start. */
type TakeNote = (tick: number, channel: number, key: number) => void;

interface Codec<T> {
  readonly read: (bytes: Uint8Array) => T;
  readonly visit: (file: T, take: TakeNote) => void;
  /** @returns how many bytes */
  readonly write: (file: T) => number;
}

const codec = <T>(its: Codec<T>): Codec<unknown> => its as Codec<unknown>;

const CODECS: Readonly<Record<Library, () => Codec<unknown>>> = {
  ours: () =>
    codec({
      read(bytes) {
        const read = parseMidiFile(bytes);
        if (!read.ok) throw new Error(read.problem.message);
        return read.value.file;
      },
      visit(file, take) {
        for (const { events } of tracksOf(file))
          for (const event of events)
            if (event.kind === 'channel' && event.status >> 4 === 9)
              take(event.tick, event.status & 15, event.data1);
      },
      write: (file) => formatMidiFile(file).length,
    }),
  'midi-file': () =>
    codec({
      read: parseMidi,
      visit(file, take) {
        for (const track of file.tracks) {
          let tick = 0;
          for (const event of track) {
            tick += event.deltaTime;
            if (event.type === 'noteOn') take(tick, event.channel, event.noteNumber);
          }
        }
      },
      write: (file) => writeMidi(file).length,
    }),
  midifile: () => codec(createMidifile()),
  'jzz-midi-smf': () => codec(createJzz()),
  spessasynth_core: () =>
    codec({
      read: (bytes) => BasicMIDI.fromArrayBuffer(toBuffer(bytes), 'big.mid'),
      visit(file, take) {
        for (const { events } of file.tracks)
          for (const { ticks, statusByte, data } of events)
            if (statusByte >> 4 === 9) take(ticks, statusByte & 15, data[0]);
      },
      write: (file) => file.writeMIDI().byteLength,
    }),
};

interface MidifileEvent {
  readonly delta: number;
  readonly subtype?: number;
  readonly channel?: number;
  readonly param1?: number;
}
interface Midifile {
  readonly tracks: readonly unknown[];
  getTrackEvents(track: number): MidifileEvent[];
  setTrackEvents(track: number, events: MidifileEvent[]): void;
  getContent(): ArrayBuffer;
}

/** It parses a track when it is asked for its events, so that belongs to reading. */
function createMidifile(): Codec<{ file: Midifile; tracks: MidifileEvent[][] }> {
  const NOTE_ON = 0x9;
  const Constructor = require('midifile') as new (bytes: ArrayBuffer) => Midifile;
  return {
    read(bytes) {
      const file = new Constructor(toBuffer(bytes));
      return { file, tracks: file.tracks.map((_, i) => file.getTrackEvents(i)) };
    },
    visit({ tracks }, take) {
      for (const track of tracks) {
        let tick = 0;
        for (const { delta, subtype, channel = 0, param1 = 0 } of track) {
          tick += delta;
          if (subtype === NOTE_ON) take(tick, channel, param1);
        }
      }
    },
    write({ file, tracks }) {
      for (const [i, events] of tracks.entries()) file.setTrackEvents(i, events);
      return file.getContent().byteLength;
    },
  };
}

interface JzzEvent extends ArrayLike<number> {
  readonly tt: number;
}
type JzzFile = readonly (readonly JzzEvent[])[] & { dump(): string };

function createJzz(): Codec<JzzFile> {
  const jzz = require('jzz') as { readonly MIDI: { readonly SMF: new (text: string) => JzzFile } };
  (require('jzz-midi-smf') as (its: unknown) => void)(jzz);
  return {
    read: (bytes) => new jzz.MIDI.SMF(Buffer.from(bytes).toString('binary')),
    visit(file, take) {
      for (const track of file)
        for (const event of track) if (event[0] >> 4 === 9) take(event.tt, event[0] & 15, event[1]);
    },
    write: (file) => Buffer.from(file.dump(), 'binary').length,
  };
}

function toBuffer(bytes: Uint8Array): ArrayBuffer {
  return bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength) as ArrayBuffer;
}

const [library, path = '', mode] = process.argv.slice(2);
run(library as Library, path);

function run(name: Library, file: string): void {
  const its = CODECS[name]();
  const bytes = new Uint8Array(readFileSync(file));
  const [read, readSeconds] = time(() => its.read(bytes));
  let noteOns = 0;
  let sum = 0;
  its.visit(read, (tick, channel, key) => {
    noteOns++;
    sum += (tick % 1_000_003) * (channel + 1) + key;
  });
  const [written, writeSeconds] = mode === 'read' ? [0, 0] : time(() => its.write(read));
  const told: CodecRun = { readSeconds, writeSeconds, noteOns, sum, bytes: written };
  console.log(JSON.stringify(told));
}

function time<T>(work: () => T): [T, number] {
  const from = process.hrtime.bigint();
  const result = work();
  return [result, Number(process.hrtime.bigint() - from) / 1e9];
}
