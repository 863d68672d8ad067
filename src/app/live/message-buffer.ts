import { dataLength, SYSEX, type TrackEvent } from '../../core/midi/index.js';

/** Room at first, and at most: what a stuck disk may delay before messages are dropped. */
const FIRST_MESSAGES = 4096;
const MOST_MESSAGES = 65_536;
const FIRST_BYTES = 65_536;
const MOST_BYTES = 4 * 2 ** 20;

/**
 * Stores messages with their times until they are written. Those without room are dropped whole, and counted.
 *
 * Hot path: `channel` and `message` copy into existing room; they allocate only when it has to grow, a few times at
 * most.
 *
 * @example
 * const buffer = new MessageBuffer(0);
 * buffer.channel(12.5, 0x90, 60, 80);
 * buffer.empty(20)  // [{ kind: 'channel', tick: 250, status: 0x90, data1: 60, data2: 80 }]
 */
export class MessageBuffer {
  #times = new Float64Array(FIRST_MESSAGES);
  #ends = new Uint32Array(FIRST_MESSAGES);
  #bytes = new Uint8Array(FIRST_BYTES);
  #count = 0;
  #length = 0;
  #lastTick = 0;
  /** Messages dropped so far for lack of room. */
  dropped = 0;

  /** @param atMs when, in milliseconds; may go back, and counts as no later than what follows then */
  channel(atMs: number, status: number, data1: number, data2: number): void {
    const length = 1 + dataLength(status);
    if (!this.#hasRoom(length)) return;
    const bytes = this.#bytes;
    bytes[this.#length] = status;
    bytes[this.#length + 1] = data1;
    if (length === 3) bytes[this.#length + 2] = data2;
    this.#keep(atMs, length);
  }

  /** A message as its bytes, of any kind. They are copied. */
  message(atMs: number, bytes: Uint8Array): void {
    if (!this.#hasRoom(bytes.length)) return;
    this.#bytes.set(bytes, this.#length);
    this.#keep(atMs, bytes.length);
  }

  /**
   * Returns the messages since the last call, in order, as events of a track, and empties the buffer. Their ticks never
   * go back, from call to call either.
   */
  empty(ticksPerMs: number): TrackEvent[] {
    const events: TrackEvent[] = [];
    let start = 0;
    for (let i = 0; i < this.#count; i++) {
      this.#lastTick = Math.max(this.#lastTick, Math.round(this.#times[i] * ticksPerMs));
      events.push(toEvent(this.#lastTick, this.#bytes.slice(start, this.#ends[i])));
      start = this.#ends[i];
    }
    this.#count = 0;
    this.#length = 0;
    return events;
  }

  #keep(atMs: number, length: number): void {
    this.#times[this.#count] = atMs;
    this.#length += length;
    this.#ends[this.#count++] = this.#length;
  }

  /** Whether there is room; if not, counts the message as dropped. */
  #hasRoom(length: number): boolean {
    if (this.#count < this.#times.length && this.#length + length <= this.#bytes.length) return true;
    if (this.#count === MOST_MESSAGES || this.#length + length > MOST_BYTES) {
      this.dropped++;
      return false;
    }
    this.#grow(length);
    return true;
  }

  #grow(length: number): void {
    if (this.#count === this.#times.length) {
      const times = new Float64Array(2 * this.#count);
      const ends = new Uint32Array(2 * this.#count);
      times.set(this.#times);
      ends.set(this.#ends);
      this.#times = times;
      this.#ends = ends;
    }
    if (this.#length + length > this.#bytes.length) {
      const bytes = new Uint8Array(Math.min(MOST_BYTES, 2 * this.#length + length));
      bytes.set(this.#bytes.subarray(0, this.#length));
      this.#bytes = bytes;
    }
  }
}

/** Standard MIDI Files 1.0, MTrk events: a SysEx event omits its F0, and all that isn't SysEx is escaped with F7. */
function toEvent(tick: number, bytes: Uint8Array): TrackEvent {
  const [status, data1, data2 = 0] = bytes;
  if (status < SYSEX) return { kind: 'channel', tick, status, data1, data2 };
  if (status === SYSEX) return { kind: 'sysex', tick, lead: 0xf0, data: bytes.subarray(1) };
  return { kind: 'sysex', tick, lead: 0xf7, data: bytes };
}
