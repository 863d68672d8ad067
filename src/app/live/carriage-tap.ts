import { isNoteOn, type MidiSink, PITCH_BEND } from '../../core/midi/index.js';

/** Told on which channel a note is sent, and where each channel's bend stands. On the note path; keep it short. */
export interface CarriageEar {
  /** A note-on, for the note that the line starts right now. */
  sentOn(channel: number): void;
  /** @param bend 0..16383 */
  sentBend(channel: number, bend: number): void;
}

/** Passes everything an outlet sends, and tells how its notes are carried. Allocates nothing. */
export class CarriageTap implements MidiSink {
  readonly #sink: MidiSink;
  readonly #ear: CarriageEar;

  constructor(sink: MidiSink, ear: CarriageEar) {
    this.#sink = sink;
    this.#ear = ear;
  }

  channel(status: number, data1: number, data2: number): void {
    this.#sink.channel(status, data1, data2);
    if (isNoteOn(status, data2)) this.#ear.sentOn(status & 0x0f);
    else if ((status & 0xf0) === PITCH_BEND) this.#ear.sentBend(status & 0x0f, (data2 << 7) | data1);
  }

  system(bytes: Uint8Array): void {
    this.#sink.system(bytes);
  }
}
