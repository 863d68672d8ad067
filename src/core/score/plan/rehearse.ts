import { Line, type LineListener } from '../../line/index.js';
import type { Track } from '../../midi/index.js';
import { createTuner, type SoundingNote, type Tuner, type TunerSettings } from '../../tuner/index.js';
import type { PartMap } from '../parts.js';
import { playPart } from '../play-part.js';
import { visitMessages } from '../visit-messages.js';

/** A note as it was heard in a run of the piece: its frame is what the live rule chose. */
export interface RehearsedNote {
  readonly note: Readonly<SoundingNote>;
  /** The strike it belongs to, counted from 0. */
  readonly strike: number;
  endedMs: number;
  /** The first strike it no longer counts for. */
  until: number;
}

/** A piece as the live rule plays it. */
export interface Rehearsal {
  /** By id in the tuner. */
  readonly notes: readonly RehearsedNote[];
  /** The same in the order they ended, as far as it matters to later strikes. */
  readonly byEnd: readonly RehearsedNote[];
  readonly strikesMs: readonly number[];
}

/** Plays tracks through the live rule, to learn what is heard when, and which ratios the live rule chooses. */
export function rehearse(
  tracks: readonly Track[],
  parts: PartMap,
  toMs: (tick: number) => number,
  settings: TunerSettings,
): Rehearsal {
  const tuner = createTuner(settings);
  const listener = new Listener(tuner);
  const line = new Line(tuner, () => [], listener);
  const atMs = visitMessages(tracks, parts, toMs, (_tick, now, part, status, data1, data2, finger) =>
    playPart(line, part, now, status, data1, data2, finger),
  );
  for (const { index } of parts.parts) line.silence(atMs, index);
  return listener.finish();
}

/** Records when notes start and end, counted in strikes. */
class Listener implements LineListener {
  readonly #tuner: Tuner;
  readonly #notes: RehearsedNote[] = [];
  readonly #ended: RehearsedNote[] = [];
  readonly #strikesMs: number[] = [];
  #strike: Tuner['strike'];

  constructor(tuner: Tuner) {
    this.#tuner = tuner;
  }

  start(_atMs: number, note: Readonly<SoundingNote>): void {
    const { strike } = this.#tuner;
    if (strike !== undefined && strike !== this.#strike) {
      this.#strike = strike;
      this.#strikesMs.push(strike.atMs);
    }
    this.#notes[note.id] = { note, strike: this.#strikesMs.length - 1, endedMs: Infinity, until: Infinity };
  }

  end(atMs: number, note: Readonly<SoundingNote>): void {
    const heard = this.#notes[note.id];
    const strike = this.#strikesMs.length - 1;
    heard.endedMs = atMs;
    // A finger lifted late from the old chord while the new one is still open doesn't count for the new one.
    heard.until = this.#tuner.strike !== undefined && heard.strike < strike ? strike : strike + 1;
    this.#ended.push(heard);
  }

  finish(): Rehearsal {
    const byEnd = this.#ended.toSorted((a, b) => a.until - b.until);
    return { notes: this.#notes, byEnd, strikesMs: this.#strikesMs };
  }
}
