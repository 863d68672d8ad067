import {
  CONTROL_CHANGE,
  HOLDING_PEDALS,
  isNoteOff,
  isNoteOn,
  NOTE_OFF,
  type Track,
  type TrackEvent,
} from '../midi/index.js';
import type { PartMap } from './parts.js';
import { PERCUSSION_CHANNEL } from './roles.js';
import { toTrackZones } from './track-zones.js';

/** Called for each event of a file in playing order. `track` is the index in the tracks given. */
export type Visit = (event: TrackEvent, track: number) => void;

/**
 * Visits the events of several tracks in the order they play: by tick, then by track, then as written.
 *
 * Within a tick the note-offs come first, so that a chord never has to be tuned against the one it replaces. A note-off
 * isn't moved where that would change what is played: after a pedal move of its channel, or its MPE zone, at the same
 * tick; after what its finger in a zone does then; and after the note-on it ends (a note of no length). What isn't tuned
 * keeps its order: by default, percussion. Linear in the number of events for a fixed number of tracks. Every event is
 * visited once.
 *
 * @param tracks with ticks that never decrease, as `parseMidiFile` gives them
 * @param heard  who has a part: notes of nobody keep their order
 */
export function visitInOrder(
  tracks: readonly Track[],
  visit: Visit,
  heard: Heard = toAllButPercussion(tracks),
): void {
  const sounding = tracks.map(() => new Uint32Array(SLOTS));
  const heads = new TrackHeads(tracks);
  // Events that don't go first within the tick. Overwritten, not emptied, so that no tick allocates.
  const later: TrackEvent[] = [];
  const laterTracks: number[] = [];

  while (heads.size > 0) {
    const tick = heads.tick();
    let waiting = 0;
    while (heads.size > 0 && heads.tick() === tick) {
      const track = heads.track();
      const { events } = tracks[track];
      let barred = 0;
      let i = heads.place();
      for (; i < events.length; i++) {
        const event = events[i];
        if (event.tick !== tick) break;
        if (event.kind === 'channel') {
          if (
            isNoteOff(event.status, event.data2) &&
            heard.partOf(track, event.status & 0x0f) !== undefined &&
            (barred & toBits(heard, track, event)) === 0 &&
            mayGoFirst(event, sounding[track])
          ) {
            visit(event, track);
            continue;
          }
          barred |= toBar(heard, track, event);
        }
        later[waiting] = event;
        laterTracks[waiting++] = track;
      }
      heads.advanceTo(i);
    }
    for (let i = 0; i < waiting; i++) {
      const event = later[i];
      if (event.kind === 'channel') count(event, sounding[laterTracks[i]]);
      visit(event, laterTracks[i]);
    }
  }
}

/** Who has a part, and the channels that manage others. */
type Heard = Pick<PartMap, 'partOf' | 'managerOf'>;

/** A file of which no more is known. */
function toAllButPercussion(tracks: readonly Track[]): Heard {
  const { managerOf } = toTrackZones(tracks);
  return {
    managerOf,
    partOf: (track, channel) => (managerOf(track, channel) === PERCUSSION_CHANNEL ? undefined : 0),
  };
}

type ChannelEvent = TrackEvent & { kind: 'channel' };

const SLOTS = 16 * 128;

/** Index in the count of sounding notes: channel and key. */
function toSlot(event: ChannelEvent): number {
  return ((event.status & 0x0f) << 7) | event.data1;
}

/** Moves a note-off forward if a note of its key sounded before this tick. */
function mayGoFirst(event: ChannelEvent, sounding: Uint32Array): boolean {
  const slot = toSlot(event);
  if (sounding[slot] === 0) return false;
  sounding[slot]--;
  return true;
}

/** What bars the note-offs of a channel: bits of the channel, and of the manager of its zone. */
function toBits(heard: Heard, track: number, { status }: ChannelEvent): number {
  const channel = status & 0x0f;
  return (1 << channel) | (1 << heard.managerOf(track, channel));
}

/** The bit of the note-offs that may no longer go first within the tick; 0 for none. */
function toBar(heard: Heard, track: number, { status, data1 }: ChannelEvent): number {
  const channel = status & 0x0f;
  const manager = heard.managerOf(track, channel);
  const isPedal = (status & 0xf0) === CONTROL_CHANGE && HOLDING_PEDALS.includes(data1);
  if (isPedal) return 1 << manager;
  return manager !== channel && (status & 0xe0) !== NOTE_OFF ? 1 << channel : 0;
}

function count(event: ChannelEvent, sounding: Uint32Array): void {
  const slot = toSlot(event);
  if (isNoteOn(event.status, event.data2)) sounding[slot]++;
  else if (isNoteOff(event.status, event.data2) && sounding[slot] > 0) sounding[slot]--;
}

/** The next event of each track, the one that plays next on top: by tick, then by index. A binary heap. */
class TrackHeads {
  readonly #tracks: readonly Track[];
  /** By track: index of its next event, and the tick of that. */
  readonly #places: Uint32Array;
  readonly #ticks: Float64Array;
  /** The tracks that still have events. */
  readonly #heap: Uint32Array;
  size = 0;

  constructor(tracks: readonly Track[]) {
    this.#tracks = tracks;
    this.#places = new Uint32Array(tracks.length);
    this.#ticks = new Float64Array(tracks.length);
    this.#heap = new Uint32Array(tracks.length);
    for (let track = 0; track < tracks.length; track++) {
      const { events } = tracks[track];
      if (events.length === 0) continue;
      this.#ticks[track] = events[0].tick;
      this.#heap[this.size] = track;
      this.#rise(this.size++);
    }
  }

  track(): number {
    return this.#heap[0];
  }

  tick(): number {
    return this.#ticks[this.#heap[0]];
  }

  /** Index of the next event of the track on top. */
  place(): number {
    return this.#places[this.#heap[0]];
  }

  /** The track on top has been played up to `place`: sorts it in again, or removes it when it is done. */
  advanceTo(place: number): void {
    const top = this.#heap[0];
    const { events } = this.#tracks[top];
    this.#places[top] = place;
    if (place < events.length) this.#ticks[top] = events[place].tick;
    else this.#heap[0] = this.#heap[--this.size];
    this.#sink();
  }

  #before(a: number, b: number): boolean {
    const byTick = this.#ticks[a] - this.#ticks[b];
    return byTick < 0 || (byTick === 0 && a < b);
  }

  #rise(start: number): void {
    const heap = this.#heap;
    for (let at = start; at > 0; ) {
      const parent = (at - 1) >> 1;
      if (!this.#before(heap[at], heap[parent])) return;
      this.#swap(at, parent);
      at = parent;
    }
  }

  #sink(): void {
    const heap = this.#heap;
    for (let at = 0; ; ) {
      const left = 2 * at + 1;
      if (left >= this.size) return;
      const right = left + 1;
      const child = right < this.size && this.#before(heap[right], heap[left]) ? right : left;
      if (!this.#before(heap[child], heap[at])) return;
      this.#swap(at, child);
      at = child;
    }
  }

  #swap(a: number, b: number): void {
    const track = this.#heap[a];
    this.#heap[a] = this.#heap[b];
    this.#heap[b] = track;
  }
}
