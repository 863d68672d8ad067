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
  const sounding = tracks.map(() => new Map<number, number>());
  const heap = new TrackHeap(tracks, cursors);
  const later: { event: TrackEvent; track: number }[] = [];

  while (heap.size > 0) {
    const tick = heap.tick();
    later.length = 0;
    while (heap.size > 0 && heap.tick() === tick) {
      const track = heap.track();
      const { events } = tracks[track];
      const barred = new Set<number>();
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
          if (event.kind === 'channel') bar(event, barred);
          later.push({ event, track });
        }
      }
      cursors[track] = i;
      heap.advance();
    }
    for (const { event, track } of later) {
      if (event.kind === 'channel') count(event, sounding[track]);
      visit(event, track);
    }
  }
}

type ChannelEvent = TrackEvent & { kind: 'channel' };

/** A note's place in the count of sounding notes: channel and key. */
function toSlot(event: ChannelEvent): number {
  return ((event.status & 0x0f) << 7) | event.data1;
}

/** Takes a note-off forward if its channel isn't barred and a note of its key sounded before this tick. */
function mayGoFirst(event: ChannelEvent, sounding: Map<number, number>, barred: Set<number>): boolean {
  const channel = event.status & 0x0f;
  if (channel === PERCUSSION_CHANNEL || barred.has(channel)) return false;
  const slot = toSlot(event);
  const left = sounding.get(slot) ?? 0;
  if (left === 0) return false;
  sounding.set(slot, left - 1);
  return true;
}

/** After a pedal of a channel no note-off of that channel may go first within the tick. */
function bar(event: ChannelEvent, barred: Set<number>): void {
  const pedal = event.data1 === CC.sustain || event.data1 === CC.sostenuto;
  if ((event.status & 0xf0) === CONTROL_CHANGE && pedal) barred.add(event.status & 0x0f);
}

function count(event: ChannelEvent, sounding: Map<number, number>): void {
  const slot = toSlot(event);
  const now = sounding.get(slot) ?? 0;
  if (isNoteOn(event.status, event.data2)) sounding.set(slot, now + 1);
  else if (isNoteOff(event.status, event.data2) && now > 0) sounding.set(slot, now - 1);
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
