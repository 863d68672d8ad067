import { isNoteOn, type MidiSink } from '../../src/core/midi/index.js';

/** Bytes a millisecond on a DIN cable. MIDI 1.0 Detailed Specification, Hardware: 31 250 bits a second, ten to a byte. */
const BYTES_PER_MS = 3.125;

/** A model of a DIN cable: carries what it is given, byte after byte, and notes when each note-on has arrived. */
export class DinCable implements MidiSink {
  /** The time now, in milliseconds: set it before anything is sent. */
  atMs = 0;
  /** When the cable is free again. */
  freeMs = 0;
  bytes = 0;
  /** How long each note-on took from now until its last byte was there. */
  readonly noteMs: number[] = [];

  channel(status: number, _data1: number, data2: number): void {
    this.#carry((status & 0xe0) === 0xc0 ? 2 : 3);
    if (isNoteOn(status, data2)) this.noteMs.push(this.freeMs - this.atMs);
  }

  system(bytes: Uint8Array): void {
    this.#carry(bytes.length);
  }

  #carry(bytes: number): void {
    this.bytes += bytes;
    this.freeMs = Math.max(this.freeMs, this.atMs) + bytes / BYTES_PER_MS;
  }
}
