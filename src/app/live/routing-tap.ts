import { isNoteOn, type MidiSink, PITCH_BEND } from '../../core/midi/index.js';
import type { RoutingListener } from '../../core/monitor/index.js';

/** Passes everything an outlet sends, and tells on which channels and with which bends. Hot path: allocates nothing. */
export class RoutingTap implements MidiSink {
  readonly #sink: MidiSink;
  readonly #listener: RoutingListener;

  constructor(sink: MidiSink, listener: RoutingListener) {
    this.#sink = sink;
    this.#listener = listener;
  }

  channel(status: number, data1: number, data2: number): void {
    this.#sink.channel(status, data1, data2);
    if (isNoteOn(status, data2)) this.#listener.noteSent(status & 0x0f);
    else if ((status & 0xf0) === PITCH_BEND) this.#listener.bendSent(status & 0x0f, (data2 << 7) | data1);
  }

  system(bytes: Uint8Array): void {
    this.#sink.system(bytes);
  }
}
