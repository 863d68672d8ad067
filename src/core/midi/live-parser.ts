import { dataLength, END_OF_SYSEX, type MidiSink, SYSEX, TIMING_CLOCK } from './status.js';

/** Parts of a stream that made no message, counted since the parser was made. */
export interface LiveParserCounters {
  /** Data bytes, or an F7, that belong to no message. */
  strayBytes: number;
  /** Status bytes F4 and F5, which the standard leaves undefined. */
  undefinedStatuses: number;
  /** Channel and system common messages that another status byte cut short. */
  incompleteMessages: number;
  /** SysEx messages that another status byte cut short; dropped. */
  interruptedSysex: number;
  /** SysEx messages longer than the limit; dropped whole, never passed cut. */
  overlongSysex: number;
}

const FIRST_SYSEX_BUFFER_BYTES = 1024;
const DEFAULT_SYSEX_LIMIT_BYTES = 1024 * 1024;

/**
 * Turns the bytes of a live stream into messages, however the stream is cut into pieces.
 *
 * Messages pass unchanged: a note-on with velocity 0 stays one (see `isNoteOn`). Real-time bytes (F8..FF) pass at once,
 * wherever they are, and disturb nothing. Running status lasts through channel messages and real time; every other
 * status byte cancels it. SysEx passes whole, F0 to F7. Never throws; what can't be understood is counted. Hot path:
 * channel messages allocate nothing; system messages are fresh arrays the sink may store.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Data Format: Status Bytes, Running Status
 * @example
 * new LiveParser().feed(Uint8Array.of(0x90, 60, 64, 0xf8, 64, 64), sink);
 * sink.sent  // ['90 3C 40', 'F8', '90 40 40']
 */
export class LiveParser {
  readonly counters: LiveParserCounters = {
    strayBytes: 0,
    undefinedStatuses: 0,
    incompleteMessages: 0,
    interruptedSysex: 0,
    overlongSysex: 0,
  };

  readonly #sysexLimitBytes: number;
  #sysex: Uint8Array;
  #sysexBytes = 0;

  /** Status of the message being read, or 0 when data bytes belong to none. */
  #status = 0;
  #wanted = 0;
  #seen = 0;
  #data1 = 0;

  /** @param sysexLimitBytes longest SysEx that passes, F0 and F7 included; longer ones are dropped and counted */
  constructor(sysexLimitBytes: number = DEFAULT_SYSEX_LIMIT_BYTES) {
    this.#sysexLimitBytes = sysexLimitBytes;
    this.#sysex = new Uint8Array(Math.min(sysexLimitBytes, FIRST_SYSEX_BUFFER_BYTES));
  }

  /** Reads the next bytes of the stream and calls the sink for every message they complete, in order. */
  feed(bytes: ArrayLike<number>, sink: MidiSink): void {
    for (let i = 0; i < bytes.length; i++) {
      const byte = bytes[i];
      if (byte >= TIMING_CLOCK) sink.system(Uint8Array.of(byte));
      else if (byte >= 0x80) this.#takeStatus(byte, sink);
      else this.#takeData(byte, sink);
    }
  }

  /** Forgets any half-read message and running status, as after the port was closed. Counters stay. */
  reset(): void {
    this.#abandon();
    this.#status = 0;
    this.#seen = 0;
  }

  #takeStatus(status: number, sink: MidiSink): void {
    if (status === END_OF_SYSEX) {
      this.#closeSysex(sink);
      return;
    }
    this.#abandon();
    this.#seen = 0;
    this.#wanted = dataLength(status);
    this.#status = status;
    if (status < SYSEX || this.#wanted > 0) return;
    if (status === SYSEX) {
      this.#sysexBytes = 0;
      this.#keep(SYSEX);
      return;
    }
    this.#status = 0;
    if (status === 0xf4 || status === 0xf5) this.counters.undefinedStatuses++;
    else sink.system(Uint8Array.of(status));
  }

  #takeData(byte: number, sink: MidiSink): void {
    const status = this.#status;
    if (status === 0) {
      this.counters.strayBytes++;
    } else if (status === SYSEX) {
      this.#keep(byte);
    } else if (++this.#seen < this.#wanted) {
      this.#data1 = byte;
    } else {
      this.#seen = 0;
      const data1 = this.#wanted === 1 ? byte : this.#data1;
      if (status < SYSEX) {
        sink.channel(status, data1, this.#wanted === 1 ? 0 : byte);
      } else {
        this.#status = 0;
        sink.system(this.#wanted === 1 ? Uint8Array.of(status, byte) : Uint8Array.of(status, data1, byte));
      }
    }
  }

  #closeSysex(sink: MidiSink): void {
    if (this.#status !== SYSEX) {
      this.counters.strayBytes++;
      this.#abandon();
      this.#status = 0;
      this.#seen = 0;
      return;
    }
    this.#status = 0;
    this.#keep(END_OF_SYSEX);
    if (this.#sysexBytes > this.#sysexLimitBytes) this.counters.overlongSysex++;
    else sink.system(this.#sysex.slice(0, this.#sysexBytes));
  }

  /** Counts a message cut short by the next status byte. */
  #abandon(): void {
    if (this.#status === SYSEX) this.counters.interruptedSysex++;
    else if (this.#seen > 0 || this.#status > SYSEX) this.counters.incompleteMessages++;
  }

  #keep(byte: number): void {
    if (this.#sysexBytes >= this.#sysexLimitBytes) {
      this.#sysexBytes = this.#sysexLimitBytes + 1;
      return;
    }
    if (this.#sysexBytes === this.#sysex.length) {
      const longer = new Uint8Array(Math.min(this.#sysexLimitBytes, 2 * this.#sysex.length));
      longer.set(this.#sysex);
      this.#sysex = longer;
    }
    this.#sysex[this.#sysexBytes++] = byte;
  }
}
