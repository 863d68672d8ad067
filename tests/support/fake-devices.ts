import { sendError } from '../../src/io/ports/port-problems.js';
import type { OnBytes } from '../../src/io/ports/port-system.js';

/** What reached a {@link FakeSynth}. */
export interface Received {
  readonly bytes: readonly number[];
  /** When it was sent. */
  readonly sentMs: number;
  /** When its last byte came out of the cable; the same as `sentMs` where the cable takes no time. */
  readonly arrivedMs: number;
}

/** Bytes a second on a DIN cable: 31 250 bits, ten to a byte. @see MIDI 1.0 Detailed Specification, Hardware */
export const DIN_BYTES_PER_SECOND = 3125;

/** Something that plays: a keyboard, or the output of a program. */
export class FakeKeys {
  readonly name: string;
  /** Whether opening it is refused. */
  busy = false;
  isPlugged = true;
  readonly #listeners = new Set<OnBytes>();

  constructor(name: string) {
    this.name = name;
  }

  /** Plays: whoever listens has the bytes, as one piece, when this returns. Unplugged, nobody hears it. */
  feed(...bytes: number[]): void {
    if (!this.isPlugged) return;
    for (const listen of [...this.#listeners]) listen(Uint8Array.from(bytes));
  }

  /** As `feed`, for who measures how long it takes: all who listen have the same piece, and nobody may change it. */
  play(bytes: Uint8Array): void {
    if (!this.isPlugged) return;
    for (const listen of this.#listeners) listen(bytes);
  }

  /** How many links listen. */
  get listeners(): number {
    return this.#listeners.size;
  }

  /** For good: what is plugged in next is another device, even under the same name. */
  unplug(): void {
    this.isPlugged = false;
  }

  /** @returns ends it */
  listen(onBytes: OnBytes): () => void {
    const listener: OnBytes = (bytes) => onBytes(bytes);
    this.#listeners.add(listener);
    return () => void this.#listeners.delete(listener);
  }
}

/** Something that can be played: a synthesizer, or the input of a program. */
export class FakeSynth {
  readonly name: string;
  /** Whether opening it is refused. */
  busy = false;
  isPlugged = true;
  /** Messages that arrived, in order. */
  readonly received: Received[] = [];
  /** Messages sent after it was unplugged: gone without an error, as on the real port. */
  readonly lost: number[][] = [];
  /** How often a message was sent to it, refused ones included. */
  sends = 0;
  /** Whether the n-th send, from 1, is refused. It may unplug, too: `(n) => { if (n === 5) synth.unplug(); return false; }` */
  refuses: (n: number) => boolean = () => false;
  /** EventLine every message that arrives. */
  readonly #onMessage: OnBytes | undefined;
  readonly #now: () => number;
  readonly #bytesPerSecond: number;
  #cableFreeMs = Number.NEGATIVE_INFINITY;

  /** @param bytesPerSecond of its cable; Infinity for one that takes no time */
  constructor(name: string, now: () => number, bytesPerSecond: number, onMessage?: OnBytes) {
    this.name = name;
    this.#now = now;
    this.#bytesPerSecond = bytesPerSecond;
    this.#onMessage = onMessage;
  }

  /** The messages alone. */
  get messages(): number[][] {
    return this.received.map(({ bytes }) => [...bytes]);
  }

  /** How long the cable will still be busy with what was sent. */
  get backlogMs(): number {
    return Math.max(0, this.#cableFreeMs - this.#now());
  }

  /** As of {@link FakeKeys}. */
  unplug(): void {
    this.isPlugged = false;
  }

  /** What a link does to send one message. Throws where `refuses` says so. */
  receive(bytes: Uint8Array): void {
    this.sends++;
    if (this.refuses(this.sends)) throw sendError(this.name, new Error('refused on purpose'));
    if (!this.isPlugged) {
      this.lost.push([...bytes]);
      return;
    }
    const sentMs = this.#now();
    this.#cableFreeMs = Math.max(sentMs, this.#cableFreeMs) + (1000 * bytes.length) / this.#bytesPerSecond;
    this.received.push({ bytes: [...bytes], sentMs, arrivedMs: this.#cableFreeMs });
    this.#onMessage?.(Uint8Array.from(bytes));
  }
}
