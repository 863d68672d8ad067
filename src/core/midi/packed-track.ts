import type { Track, TrackEvent } from './smf-types.js';

/** Stands in the words for an event that isn't a channel message: its place in the list of those follows below it. */
const OTHER = -1;
const FIRST_CAPACITY = 256;

/** Told the events of a packed track in order. */
export interface PackedVisitor {
  channel(tick: number, status: number, data1: number, data2: number): void;
  other(event: TrackEvent): void;
}

/**
 * A track that is written event by event and may become long: channel messages, most of what there is, are kept as two
 * numbers each rather than as objects. A million objects that stay cost the garbage collector more than it takes to
 * tune them.
 *
 * It is a track like any other: `events` makes the objects when somebody asks, and keeps them until more is added.
 *
 * @example
 * const track = new PackedTrack();
 * track.channel(96, 0x90, 60, 64);
 * track.events;  // [{ kind: 'channel', tick: 96, status: 0x90, data1: 60, data2: 64 }]
 */
export class PackedTrack implements Track {
  readonly kind = 'track';
  #ticks = new Float64Array(FIRST_CAPACITY);
  /** Status, first and second data byte in one word; or -1 and less for the other events, by their place. */
  #words = new Int32Array(FIRST_CAPACITY);
  #length = 0;
  readonly #others: TrackEvent[] = [];
  #events: TrackEvent[] | undefined;

  /** Adds a channel message. Bytes in range; `tick` no less than the last one's. */
  channel(tick: number, status: number, data1: number, data2: number): void {
    this.#add(tick, (status << 16) | (data1 << 8) | data2);
  }

  /** Adds any event. */
  push(event: TrackEvent): void {
    if (event.kind === 'channel') {
      this.channel(event.tick, event.status, event.data1, event.data2);
      return;
    }
    this.#others.push(event);
    this.#add(event.tick, OTHER - (this.#others.length - 1));
  }

  get events(): TrackEvent[] {
    if (this.#events !== undefined) return this.#events;
    const events: TrackEvent[] = [];
    this.visit({
      channel: (tick, status, data1, data2) => {
        events.push({ kind: 'channel', tick, status, data1, data2 });
      },
      other: (event) => {
        events.push(event);
      },
    });
    this.#events = events;
    return events;
  }

  /** Goes through the events without making objects of them. */
  visit(visitor: PackedVisitor): void {
    for (let i = 0; i < this.#length; i++) {
      const word = this.#words[i];
      if (word <= OTHER) visitor.other(this.#others[OTHER - word]);
      else visitor.channel(this.#ticks[i], word >> 16, (word >> 8) & 0xff, word & 0xff);
    }
  }

  /** Tick of the last event; 0 where there is none. */
  get lastTick(): number {
    return this.#length === 0 ? 0 : this.#ticks[this.#length - 1];
  }

  #add(tick: number, word: number): void {
    if (this.#length === this.#words.length) {
      const ticks = new Float64Array(2 * this.#length);
      const words = new Int32Array(2 * this.#length);
      ticks.set(this.#ticks);
      words.set(this.#words);
      this.#ticks = ticks;
      this.#words = words;
    }
    this.#ticks[this.#length] = tick;
    this.#words[this.#length++] = word;
    this.#events = undefined;
  }
}
