import type { MidiFile, MidiSink, TrackEvent } from '../../src/core/midi/index.js';
import { numbers } from './numbers.js';

/** Bytes written as the standard prints them. @example hex('F0 05 7E')  // [0xf0, 0x05, 0x7e] */
export function hex(text: string): Uint8Array {
  return Uint8Array.from(text.trim().split(/\s+/), (pair) => Number.parseInt(pair, 16));
}

/** The same, one after the other. */
export function join(...parts: ArrayLike<number>[]): Uint8Array {
  return Uint8Array.from(parts.flatMap((part) => Array.from(part)));
}

/** Short messages, with a comma between. @example messages('0x91 60 90, 0xd1 0') // [[0x91, 60, 90], [0xd1, 0]] */
export const messages: (text: string) => number[][] = numbers;

/** Bytes of ASCII text. */
export function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}

/** A chunk with its right length. */
export function chunk(id: string, ...parts: ArrayLike<number>[]): Uint8Array {
  const data = join(...parts);
  const length = [24, 16, 8, 0].map((shift) => (data.length >>> shift) & 0xff);
  return join(ascii(id), length, data);
}

/** A header chunk: format, track count and division word. */
export function header(format: number, tracks: number, division = 96): Uint8Array {
  return chunk('MThd', [0, format, tracks >> 8, tracks & 0xff, division >> 8, division & 0xff]);
}

/** A format 0 file around the bytes of its one track, which are given as the standard prints them. */
export function oneTrack(text: string): Uint8Array {
  return join(header(0, 1), chunk('MTrk', text === '' ? [] : hex(text)));
}

/** A file of these tracks at 96 ticks a quarter note. */
export function fileOf(...tracks: TrackEvent[][]): MidiFile {
  return {
    format: tracks.length === 1 ? 0 : 1,
    division: { kind: 'ppq', ticksPerQuarter: 96 },
    headerExtra: new Uint8Array(0),
    chunks: tracks.map((events) => ({ kind: 'track', events })),
    wrapper: 'none',
  };
}

/** Keeps every message as its bytes. */
export class ListSink implements MidiSink {
  readonly messages: number[][] = [];

  channel(status: number, data1: number, data2: number): void {
    const single = status >= 0xc0 && status < 0xe0;
    this.messages.push(single ? [status, data1] : [status, data1, data2]);
  }

  system(bytes: Uint8Array): void {
    this.messages.push(Array.from(bytes));
  }
}
