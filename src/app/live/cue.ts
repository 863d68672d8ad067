import { STRATEGIES, type TunerSettings } from '../../core/tuner/index.js';
import type { LiveOutlet } from './live-outlet.js';

/** A note of the figure: when it starts and ends, in milliseconds from the beginning, and its pitch. */
export interface CueNote {
  readonly onMs: number;
  readonly offMs: number;
  readonly key: number;
  /** On the scale of MIDI keys: 6900 is A = 440 Hz. */
  readonly cents: number;
}

/** An outlet that plays the cue, and the part whose sound it has. */
export interface CueTarget {
  readonly outlet: LiveOutlet;
  readonly part: number;
}

const VELOCITY = 40;
const RELEASE_VELOCITY = 64;
/** From the start of a short note to the next, and how long it sounds; then the pause, and the long note. */
const SHORT_STEP_MS = 220;
const SHORT_MS = 120;
const PAUSE_MS = 200;
const LONG_MS = 900;
/** The lowest tonic: the octave from here has middle C in its middle. */
const LOWEST_KEY = 55;

/**
 * The figure that says where the music is: as many short notes as the strategy's place in the list (free 1, pull 2,
 * anchored 3, temper 4), on the tonic at home; then a long one, which is as far from it as the drift.
 *
 * @param driftCents what is left of the drift
 * @example toCueNotes(DEFAULT_SETTINGS, -21.5).map(({ cents }) => cents)  // [6000, 6000, 6000, 5978.5]
 */
export function toCueNotes({ strategy, home, referenceCents }: TunerSettings, driftCents: number): CueNote[] {
  const { keyClass } = home.tonic;
  const key = LOWEST_KEY + ((keyClass - LOWEST_KEY + 120) % 12);
  const cents = 100 * key + home.deviationCents[keyClass] + referenceCents;
  const count = STRATEGIES.indexOf(strategy) + 1;
  const notes = Array.from({ length: count }, (_, i) => {
    const onMs = i * SHORT_STEP_MS;
    return { onMs, offMs: onMs + SHORT_MS, key, cents };
  });
  const onMs = count * SHORT_STEP_MS + PAUSE_MS;
  return [...notes, { onMs, offMs: onMs + LONG_MS, key, cents: cents + driftCents }];
}

/**
 * Plays the cue, driven by the session's tick. It goes to the outlets past the tuner, which doesn't hear it. A note whose
 * key is up still has its channel while a pedal is down: the receiver holds it too.
 */
export class Cue {
  #notes: readonly CueNote[] = [];
  #targets: readonly CueTarget[] = [];
  #startMs = 0;
  /** Index of the next note, and whether the one before is down. */
  #next = 0;
  #isDown = false;
  /** The ids of its notes count down from -1: the tuner's count up from 0. */
  #id = 0;
  /** Notes whose key is up, and that a pedal may hold. */
  #released: { readonly id: number; readonly targets: readonly CueTarget[] }[] = [];

  /** Whether it has anything to do. */
  get isPlaying(): boolean {
    return this.#next < this.#notes.length || this.#isDown || this.#released.length > 0;
  }

  /** Plays a figure from now on, instead of one that plays. */
  start(atMs: number, notes: readonly CueNote[], targets: readonly CueTarget[]): void {
    this.#lift(atMs);
    this.#notes = notes;
    this.#targets = targets;
    this.#startMs = atMs;
    this.#next = 0;
  }

  /** Does what is due. @param isPedalDown whether a pedal may hold its notes */
  play(atMs: number, isPedalDown: boolean): void {
    if (!this.isPlaying) return;
    const passedMs = atMs - this.#startMs;
    for (;;) {
      if (this.#isDown && passedMs >= this.#notes[this.#next - 1].offMs) this.#lift(atMs);
      const note = this.#notes[this.#next];
      if (this.#isDown || note === undefined || passedMs < note.onMs) break;
      this.#strike(atMs, note);
    }
    if (!isPedalDown) this.#end(atMs);
  }

  /** Everything was silenced: nothing of it sounds any more, and it is over. */
  forget(): void {
    this.#notes = [];
    this.#next = 0;
    this.#isDown = false;
    this.#released = [];
  }

  #strike(atMs: number, { key, cents }: CueNote): void {
    this.#next++;
    this.#isDown = true;
    this.#id--;
    for (const { outlet, part } of this.#targets) {
      outlet.makeReady();
      outlet.outlet.start(atMs, this.#id, part, key, VELOCITY, cents);
    }
  }

  #lift(atMs: number): void {
    if (!this.#isDown) return;
    this.#isDown = false;
    this.#released.push({ id: this.#id, targets: this.#targets });
    for (const { outlet } of this.#targets) outlet.outlet.release(atMs, this.#id, RELEASE_VELOCITY);
  }

  #end(atMs: number): void {
    for (const { id, targets } of this.#released.splice(0))
      for (const { outlet } of targets) outlet.outlet.end(atMs, id);
  }
}
