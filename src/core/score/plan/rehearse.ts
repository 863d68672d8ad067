import type { Track } from '../../midi/index.js';
import {
  createTuner,
  type SoundingNote,
  step,
  type Tuner,
  type TunerOut,
  type TunerSettings,
} from '../../tuner/index.js';
import type { PartMap } from '../parts.js';
import { playMessage } from '../play-message.js';
import { visitInOrder } from '../playing-order.js';

/** A note as it was heard when a piece was played through: its own frame is what the live rule made of it. */
export interface HeardNote {
  readonly note: Readonly<SoundingNote>;
  /** The strike it belongs to, counted from 0. */
  readonly strike: number;
  endedMs: number;
  /** The first strike that no longer hears it. */
  until: number;
}

/** A piece as the live rule plays it. */
export interface Rehearsal {
  /** By the number the tuner gives them. */
  readonly notes: readonly HeardNote[];
  /** The same in the order in which they fell silent, as far as later strikes can tell. */
  readonly byEnd: readonly HeardNote[];
  /** When each strike began. */
  readonly strikesMs: readonly number[];
}

/** Plays tracks through the live rule, to learn what is heard when, and what the live rule makes of it. */
export function rehearse(
  tracks: readonly Track[],
  parts: PartMap,
  toMs: (tick: number) => number,
  settings: TunerSettings,
): Rehearsal {
  const listener = new Listener(createTuner(settings));
  let tick = -1;
  let atMs = 0;
  visitInOrder(tracks, (event, track) => {
    if (event.tick !== tick) {
      tick = event.tick;
      atMs = toMs(tick);
    }
    if (event.kind !== 'channel') return;
    const { status, data1, data2 } = event;
    const channel = status & 0x0f;
    if ((status & 0xe0) === 0x80) {
      const part = parts.partOf(track, channel);
      if (part !== undefined) listener.play(atMs, part, status, data1, data2);
      return;
    }
    for (const part of parts.listenersOf(track, channel, status, data1))
      listener.play(atMs, part, status, data1, data2);
  });
  for (const { index } of parts.parts) listener.silence(atMs, index);
  return listener.finish();
}

/** Takes down when notes come and go, counted in strikes. */
class Listener implements TunerOut {
  readonly #tuner: Tuner;
  readonly #notes: HeardNote[] = [];
  readonly #ended: HeardNote[] = [];
  readonly #strikesMs: number[] = [];
  #strike: Tuner['strike'];

  constructor(tuner: Tuner) {
    this.#tuner = tuner;
  }

  play(atMs: number, part: number, status: number, data1: number, data2: number): void {
    playMessage(this.#tuner, atMs, part, status, data1, data2, this);
  }

  silence(atMs: number, part: number): void {
    step(this.#tuner, { kind: 'silence', atMs, part }, this);
  }

  start(_atMs: number, note: Readonly<SoundingNote>): void {
    const { strike } = this.#tuner;
    if (strike !== undefined && strike !== this.#strike) {
      this.#strike = strike;
      this.#strikesMs.push(strike.atMs);
    }
    this.#notes[note.id] = { note, strike: this.#strikesMs.length - 1, endedMs: Infinity, until: Infinity };
  }

  retune(): void {}
  release(): void {}
  enter(): void {}

  end(atMs: number, note: Readonly<SoundingNote>): void {
    const heard = this.#notes[note.id];
    const strike = this.#strikesMs.length - 1;
    heard.endedMs = atMs;
    // A finger lifted late from the old chord, while the new one is still open: the new one doesn't hear it.
    heard.until = this.#tuner.strike !== undefined && heard.strike < strike ? strike : strike + 1;
    this.#ended.push(heard);
  }

  finish(): Rehearsal {
    const byEnd = this.#ended.toSorted((a, b) => a.until - b.until);
    return { notes: this.#notes, byEnd, strikesMs: this.#strikesMs };
  }
}
