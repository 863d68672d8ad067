import { type MidiSink, type PackedTrack, SYSEX } from '../core/midi/index.js';
import type { Outlet } from '../core/outlet/index.js';
import type { PartMap } from '../core/score/index.js';
import type { FileClock } from './file-clock.js';
import { createOutlet, type OutletChoice } from './outlet-choice.js';
import type { OutputLayout } from './output-layout.js';

/** One outlet a part, each writing to the part's track; or one for all, where they share a track. */
export function openOutlets(
  parts: PartMap,
  layout: OutputLayout,
  choice: OutletChoice,
  clock: FileClock,
): FileOutlet[] {
  const channelOf = (part: number) => parts.parts[part].channel;
  if (parts.parts.length === 0) return [];
  const targets = new Set(layout.parts);
  if (targets.size === 1) {
    const sink = new TrackSink(layout.parts[0], clock);
    return [new FileOutlet(createOutlet(choice, sink, channelOf), clock)];
  }
  return layout.parts.map(
    (track) => new FileOutlet(createOutlet(choice, new TrackSink(track, clock), channelOf), clock),
  );
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

/** Writes messages into a track at the clock's tick. */
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
