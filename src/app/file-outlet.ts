import { type MidiSink, type PackedTrack, SYSEX, type TempoMap } from '../core/midi/index.js';
import type { Outlet } from '../core/outlet/index.js';
import type { PartMap } from '../core/score/index.js';
import { createOutlet, type OutletChoice } from './outlet-choice.js';
import type { OutputLayout } from './output-layout.js';

/**
 * One outlet a tuned part, writing to the part's track; or the same for all, if they share a track.
 * @returns by part; undefined for one that isn't tuned
 */
export function openOutlets(
  parts: PartMap,
  layout: OutputLayout,
  choice: OutletChoice,
  clock: FileClock,
): (FileOutlet | undefined)[] {
  const outlets = new Map<PackedTrack, FileOutlet>();
  return layout.parts.map((track, part) => {
    if (track === undefined) return undefined;
    const { channel } = parts.parts[part];
    // Each outlet uses only the channels of its parts.
    const channelOf = (its: number) => (layout.parts[its] === track ? parts.parts[its].channel : channel);
    const outlet =
      outlets.get(track) ??
      new FileOutlet(createOutlet(choice, new TrackSink(track, clock), channelOf), clock);
    outlets.set(track, outlet);
    return outlet;
  });
}

/** An outlet that is opened just before its first message, and again after the file has reset its receiver. */
export class FileOutlet {
  readonly outlet: Outlet;
  readonly #clock: FileClock;
  #ready = false;

  constructor(outlet: Outlet, clock: FileClock) {
    this.outlet = outlet;
    this.#clock = clock;
  }

  makeReady(): void {
    if (this.#ready) return;
    this.#ready = true;
    this.#clock.stamp(this.#clock.atMs);
    this.outlet.open();
  }

  reset(atMs: number): void {
    if (!this.#ready) return;
    this.#ready = false;
    this.outlet.drain(atMs);
    this.outlet.forget();
  }
}

class TrackSink implements MidiSink {
  readonly #track: PackedTrack;
  readonly #clock: FileClock;

  constructor(track: PackedTrack, clock: FileClock) {
    this.#track = track;
    this.#clock = clock;
  }

  channel(status: number, data1: number, data2: number): void {
    this.#track.channel(this.#clock.tick, status, data1, data2);
  }

  system(bytes: Uint8Array): void {
    const { tick } = this.#clock;
    if (bytes[0] === SYSEX) this.#track.push({ kind: 'sysex', tick, lead: 0xf0, data: bytes.subarray(1) });
    else this.#track.push({ kind: 'sysex', tick, lead: 0xf7, data: bytes });
  }
}

/**
 * The position in the file: the tick that sinks write, and its time.
 *
 * @example
 * const clock = new FileClock(toTempoMap(file));
 * clock.goTo(96);
 * clock.stamp(250);
 * clock.tick  // 48: due between the last event and this one, at 120 a minute and 96 ticks a quarter note
 */
export class FileClock {
  readonly #tempo: TempoMap;
  #eventTick = 0;
  atMs = 0;
  /** Tick of what is written now. */
  tick = 0;

  constructor(tempo: TempoMap) {
    this.#tempo = tempo;
  }

  goTo(tick: number): void {
    if (tick !== this.#eventTick) this.atMs = this.#tempo.toMs(tick);
    this.#eventTick = tick;
    this.tick = tick;
  }

  /** Sets the time of the next messages: now, or between the last event and this one. */
  stamp(atMs: number): void {
    this.tick = atMs >= this.atMs ? this.#eventTick : Math.min(this.#tempo.toTick(atMs), this.#eventTick);
  }
}
