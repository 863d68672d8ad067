import { toLsb, toMsb } from '../../src/core/midi/index.js';
import { createMultichannel, type Outlet, PLAIN_CHANNELS } from '../../src/core/outlet/index.js';
import {
  createTuner,
  type SoundingNote,
  step,
  type TunerEvent,
  type TunerOut,
  type TunerSettings,
} from '../../src/core/tuner/index.js';
import { TIED_PUMP } from './pumps.js';
import { PARTS } from './random-playing.js';
import { SynthModel } from './synth-model.js';

/** How something is played over plain channels. */
interface Way {
  /** How often a pump, whose passes fall a comma where nothing stops them, goes before. */
  readonly passes: number;
  readonly rangeSemitones: number;
  /** What the wheels of all parts add, within 4 octaves either way. */
  readonly wheelCents: number;
}

/** What came of it. */
interface Bent {
  readonly clampedBends: number;
  /** How far any note was from its pitch plus the wheel, at most; notes that share a channel aren't counted. */
  readonly errorCents: number;
}

/** Plays something over plain channels with the wheel at rest somewhere, and listens to a model of the synth. */
export function playBent(events: readonly TunerEvent[], tuner: TunerSettings, way: Way): Bent {
  const synth = new SynthModel();
  const { rangeSemitones } = way;
  const outlet = createMultichannel({
    channels: PLAIN_CHANNELS,
    rangeSemitones,
    releaseHoldMs: 500,
    sink: synth,
  });
  outlet.open();
  const wheelCents = setWheels(outlet, way.wheelCents);
  const ear = new Ear(outlet, synth, wheelCents);
  const playing = createTuner(tuner);
  const falling = pumpFor(way.passes);
  const fromMs = (falling.at(-1)?.atMs ?? 0) + 50;
  for (const event of falling) step(playing, event, ear);
  for (const event of events) step(playing, { ...event, atMs: event.atMs + fromMs }, ear);
  return { clampedBends: outlet.counters.clampedBends, errorCents: ear.errorCents };
}

/** Inputs that bend by 48 semitones, so that their wheels can be put anywhere. @returns what the wheels add, rounded */
function setWheels(outlet: Outlet, cents: number): number {
  const value = Math.min(16383, Math.max(0, Math.round((cents * 8192) / 4800) + 8192));
  for (let part = 0; part < PARTS; part++) {
    for (const [controller, data] of [
      [101, 0],
      [100, 0],
      [6, 48],
      [38, 0],
      [101, 127],
      [100, 127],
    ])
      outlet.control(0, part, 0xb0, controller, data);
    outlet.control(0, part, 0xe0, toLsb(value), toMsb(value));
  }
  return ((value - 8192) * 4800) / 8192;
}

function pumpFor(passes: number): TunerEvent[] {
  const events: TunerEvent[] = [];
  let atMs = 0;
  for (let pass = 0; pass < passes; pass++) {
    for (const { lift, strike } of pass === 0 ? TIED_PUMP : TIED_PUMP.slice(1)) {
      for (const key of lift) events.push({ kind: 'note-off', atMs, part: 0, key });
      for (const key of strike) events.push({ kind: 'note-on', atMs, part: 0, key });
      atMs += 200;
    }
  }
  if (passes > 0) events.push({ kind: 'keys-up', atMs, part: 0 });
  return events;
}

/** Hands what the tuner decides to the outlet, and compares each note with what the synth makes of it. */
class Ear implements TunerOut {
  errorCents = 0;
  readonly #outlet: Outlet;
  readonly #synth: SynthModel;
  readonly #wheelCents: number;
  readonly #channels = new Map<number, { channel: number; key: number }>();

  constructor(outlet: Outlet, synth: SynthModel, wheelCents: number) {
    this.#outlet = outlet;
    this.#synth = synth;
    this.#wheelCents = wheelCents;
  }

  start(atMs: number, { id, part, key }: Readonly<SoundingNote>, cents: number): void {
    this.#outlet.start(atMs, id, part, key, 90, cents);
    const voice = this.#synth.voices.at(-1)!;
    this.#channels.set(id, voice);
    this.#compare(id, cents);
  }

  retune(atMs: number, { id }: Readonly<SoundingNote>, cents: number): void {
    this.#outlet.retune(atMs, id, cents);
    this.#compare(id, cents);
  }

  release(atMs: number, { id }: Readonly<SoundingNote>): void {
    this.#outlet.release(atMs, id, 64);
  }

  end(atMs: number, { id }: Readonly<SoundingNote>): void {
    this.#outlet.end(atMs, id);
    this.#channels.delete(id);
  }

  enter(): void {}

  #compare(id: number, cents: number): void {
    if (this.#outlet.counters.sharedNotes > 0) return;
    const { channel, key } = this.#channels.get(id)!;
    const { bend, rangeCents } = this.#synth.channels[channel];
    const sounding = 100 * key + ((bend - 8192) * rangeCents) / 8192;
    this.errorCents = Math.max(this.errorCents, Math.abs(sounding - cents - this.#wheelCents));
  }
}
