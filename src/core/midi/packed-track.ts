import { ByteWriter, LARGEST_VARIABLE_LENGTH } from './byte-writer.js';
import { Cursor } from './smf-cursor.js';
import { META, type SysexEvent, type Track, type TrackEvent } from './smf-types.js';
import { dataLength, END_OF_SYSEX, NOTE_OFF, SYSEX } from './status.js';

/** Receives the events of a packed track in order. */
export interface PackedVisitor {
  /**
   * Channel messages and SysEx events as in a file, each with its delta-time and its status.
   *
   * @param fromTick the first delta-time counts from: the tick of the event before, ends of track left out
   * @param toTick   the tick of the last of them
   */
  bytes(bytes: Uint8Array, fromTick: number, toTick: number): void;
  other(event: TrackEvent): void;
}

/** An event that isn't stored as bytes. */
interface Aside {
  readonly event: TrackEvent;
  /** Its offset among the bytes. */
  readonly at: number;
  /** Tick of the last event before it, ends of track left out. */
  readonly lastTick: number;
}

/**
 * A track that is written event by event and may become long. Messages, most of the events, are stored as the bytes of
 * a file, not as objects: a million lasting objects cost the garbage collector more than their tuning costs, and the
 * bytes need only be copied when the file is written. It works like any other track: `events` makes the objects on
 * request, and caches them until more is added. Ticks never decrease. A message out of range is stored;
 * `formatMidiFile` throws a RangeError for it.
 *
 * @example
 * const track = new PackedTrack();
 * track.channel(96, 0x90, 60, 64);
 * track.events;  // [{ kind: 'channel', tick: 96, status: 0x90, data1: 60, data2: 64 }]
 */
export class PackedTrack implements Track {
  readonly kind = 'track';
  readonly #bytes = new ByteWriter();
  readonly #asides: Aside[] = [];
  /** The next delta-time counts from here. An end of track doesn't count: it is written last, wherever it is. */
  #tick = 0;
  #events: TrackEvent[] | undefined;

  /** Adds a channel message. Bytes in range; `tick` no less than the last one's. */
  channel(tick: number, status: number, data1: number, data2: number): void {
    const wait = tick - this.#tick;
    if (!isShort(wait) || !isMessage(status, data1, data2)) {
      this.#setAside({ kind: 'channel', tick, status, data1, data2 });
      return;
    }
    const bytes = this.#bytes;
    bytes.variableLength(wait);
    bytes.byte(status);
    bytes.byte(data1);
    if (dataLength(status) === 2) bytes.byte(data2);
    this.#tick = tick;
    this.#events = undefined;
  }

  push(event: TrackEvent): void {
    if (event.kind === 'channel') this.channel(event.tick, event.status, event.data1, event.data2);
    else if (event.kind === 'sysex') this.#sysex(event);
    else this.#setAside(event);
  }

  get events(): TrackEvent[] {
    if (this.#events !== undefined) return this.#events;
    const events: TrackEvent[] = [];
    this.visit({
      bytes: (bytes, fromTick) => readBytes(bytes, fromTick, events),
      other: (event) => {
        events.push(event);
      },
    });
    this.#events = events;
    return events;
  }

  /** Visits the events without making objects of them. */
  visit(visitor: PackedVisitor): void {
    let from = 0;
    let fromTick = 0;
    const visitBytes = (to: number, toTick: number): void => {
      if (to > from) visitor.bytes(this.#bytes.view(from, to), fromTick, toTick);
      from = to;
    };
    for (const { event, at, lastTick } of this.#asides) {
      visitBytes(at, lastTick);
      visitor.other(event);
      fromTick = isEnd(event) ? lastTick : event.tick;
    }
    visitBytes(this.#bytes.length, this.#tick);
  }

  /** Tick of the last event; 0 where there is none. */
  get lastTick(): number {
    const aside = this.#asides.at(-1);
    return aside !== undefined && aside.at === this.#bytes.length ? aside.event.tick : this.#tick;
  }

  #sysex(event: SysexEvent): void {
    const { tick, lead, data } = event;
    const wait = tick - this.#tick;
    if (!isShort(wait) || !isShort(data.length)) {
      this.#setAside(event);
      return;
    }
    const bytes = this.#bytes;
    bytes.variableLength(wait);
    bytes.byte(lead);
    bytes.variableLength(data.length);
    bytes.bytes(data);
    this.#tick = tick;
    this.#events = undefined;
  }

  #setAside(event: TrackEvent): void {
    this.#asides.push({ event, at: this.#bytes.length, lastTick: this.#tick });
    if (!isEnd(event)) this.#tick = event.tick;
    this.#events = undefined;
  }
}

// An event that a file can't hold as it is is stored apart: the writer bridges its delta-time, or refuses it.

/** Whether a number fits a variable length. */
function isShort(value: number): boolean {
  // All bits of it are ones.
  return (value & LARGEST_VARIABLE_LENGTH) === value;
}

function isMessage(status: number, data1: number, data2: number): boolean {
  return status >= NOTE_OFF && status < SYSEX && (data1 & 0x7f) === data1 && (data2 & 0x7f) === data2;
}

function isEnd(event: TrackEvent): boolean {
  return event.kind === 'meta' && event.type === META.endOfTrack;
}

function readBytes(bytes: Uint8Array, fromTick: number, events: TrackEvent[]): void {
  const cursor = new Cursor(bytes, 0, bytes.length, 'a packed track');
  let tick = fromTick;
  while (cursor.left > 0) {
    tick += cursor.variableLength('a wait');
    const status = cursor.byte('a status');
    if (status === SYSEX || status === END_OF_SYSEX) {
      const data = cursor.take(cursor.variableLength('a length'), 'the data')!;
      events.push({ kind: 'sysex', tick, lead: status, data });
    } else {
      const data1 = cursor.byte('a first data byte');
      const data2 = dataLength(status) === 2 ? cursor.byte('a second data byte') : 0;
      events.push({ kind: 'channel', tick, status, data1, data2 });
    }
  }
}
