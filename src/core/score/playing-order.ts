import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn, type Track, type TrackEvent } from '../midi/index.js';
import { PERCUSSION_CHANNEL } from './parts.js';

/** Called for each event of a file in playing order. `track` is the index in the tracks given. */
export type Visit = (event: TrackEvent, track: number) => void;

/**
 * Visits the events of several tracks in the order they play: by tick, then by track, then as written.
 *
 * Within a tick the note-offs come first, so that a chord never has to be tuned against the one it replaces. A note-off
 * keeps its place where moving it would change what is played: after a pedal of its channel has moved at the same
 * tick, and after the note-on it ends (a note of no length). Percussion keeps its order, since nobody tunes it.
 *
 * Linear in the number of events for a fixed number of tracks. Every event is visited once.
 */
export function visitInOrder(tracks: readonly Track[], visit: Visit): void {
  const cursors = tracks.map(() => 0);
  const sounding = tracks.map(() => new Uint32Array(SLOTS));
  const heap = new TrackHeap(tracks, cursors);
  const later: TrackEvent[] = [];
  const laterTracks: number[] = [];

  while (heap.size > 0) {
    const tick = heap.tick();
    later.length = 0;
    laterTracks.length = 0;
    while (heap.size > 0 && heap.tick() === tick) {
      const track = heap.track();
      const { events } = tracks[track];
      let barred = 0;
      let i = cursors[track];
      for (; i < events.length && events[i].tick === tick; i++) {
        const event = events[i];
        if (
          event.kind === 'channel' &&
          isNoteOff(event.status, event.data2) &&
          mayGoFirst(event, sounding[track], barred)
        ) {
          visit(event, track);
        } else {
          if (event.kind === 'channel') barred |= toBar(event);
          later.push(event);
          laterTracks.push(track);
        }
      }
      cursors[track] = i;
      heap.advance();
    }
    for (let i = 0; i < later.length; i++) {
      const event = later[i];
      if (event.kind === 'channel') count(event, sounding[laterTracks[i]]);
      visit(event, laterTracks[i]);
    }
  }
}

type ChannelEvent = TrackEvent & { kind: 'channel' };

/** Keys of all channels. */
const SLOTS = 16 * 128;

/** A note's place in the count of sounding notes: channel and key. */
function toSlot(event: ChannelEvent): number {
  return ((event.status & 0x0f) << 7) | event.data1;
}

/**
 * Takes a note-off forward if its channel isn't barred and a note of its key sounded before this tick.
 * @param barred a bit for each channel
 */
function mayGoFirst(event: ChannelEvent, sounding: Uint32Array, barred: number): boolean {
  const channel = event.status & 0x0f;
  if (channel === PERCUSSION_CHANNEL || (barred & (1 << channel)) !== 0) return false;
  const slot = toSlot(event);
  if (sounding[slot] === 0) return false;
  sounding[slot]--;
  return true;
}

/** The bit of a channel whose pedal moves: no note-off of it may go first any more within the tick; else 0. */
function toBar(event: ChannelEvent): number {
  const pedal = event.data1 === CC.sustain || event.data1 === CC.sostenuto || event.data1 === CC.hold2;
  return (event.status & 0xf0) === CONTROL_CHANGE && pedal ? 1 << (event.status & 0x0f) : 0;
}

function count(event: ChannelEvent, sounding: Uint32Array): void {
  const slot = toSlot(event);
  if (isNoteOn(event.status, event.data2)) sounding[slot]++;
  else if (isNoteOff(event.status, event.data2) && sounding[slot] > 0) sounding[slot]--;
}

/** The tracks that still have events, the one that plays next on top: by tick, then by index. A binary heap. */
class TrackHeap {
  readonly #tracks: readonly Track[];
  readonly #cursors: readonly number[];
  readonly #heap: number[] = [];

  constructor(tracks: readonly Track[], cursors: readonly number[]) {
    this.#tracks = tracks;
    this.#cursors = cursors;
    for (let track = 0; track < tracks.length; track++) {
      if (tracks[track].events.length > 0) this.#rise(this.#heap.push(track) - 1);
    }
  }

  get size(): number {
    return this.#heap.length;
  }

  /** Track on top. */
  track(): number {
    return this.#heap[0];
  }

  /** Tick of the track on top. */
  tick(): number {
    return this.#tickOf(this.#heap[0]);
  }

  /** The top track's cursor has moved: puts it where it belongs, or takes it out when it is done. */
  advance(): void {
    const top = this.#heap[0];
    if (this.#cursors[top] >= this.#tracks[top].events.length) {
      const last = this.#heap.pop() as number;
      if (this.#heap.length === 0) return;
      this.#heap[0] = last;
    }
    this.#sink(0);
  }

  #tickOf(track: number): number {
    return this.#tracks[track].events[this.#cursors[track]].tick;
  }

  #before(a: number, b: number): boolean {
    const byTick = this.#tickOf(a) - this.#tickOf(b);
    return byTick < 0 || (byTick === 0 && a < b);
  }

  #rise(start: number): void {
    const heap = this.#heap;
    for (let at = start; at > 0; ) {
      const parent = (at - 1) >> 1;
      if (!this.#before(heap[at], heap[parent])) return;
      [heap[at], heap[parent]] = [heap[parent], heap[at]];
      at = parent;
    }
  }

  #sink(start: number): void {
    const heap = this.#heap;
    for (let at = start; ; ) {
      const left = 2 * at + 1;
      if (left >= heap.length) return;
      const right = left + 1;
      const child = right < heap.length && this.#before(heap[right], heap[left]) ? right : left;
      if (!this.#before(heap[child], heap[at])) return;
      [heap[at], heap[child]] = [heap[child], heap[at]];
      at = child;
    }
  }
}
