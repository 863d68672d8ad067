import { CC, CONTROL_CHANGE, isNoteOff, isNoteOn, NOTE_OFF } from '../core/midi/index.js';
import type { Outlet } from '../core/outlet/index.js';
import { playMessage } from '../core/score/index.js';
import {
  adjust,
  createTuner,
  goHomeNext,
  goHomeNow,
  holdDrift,
  type LedgerEntry,
  type Pedal,
  retell,
  type SoundingNote,
  step,
  type Tuner,
  type TunerOut,
  type TunerSettings,
} from '../core/tuner/index.js';

/** What holds notes, by its controller. */
const PEDALS: readonly (readonly [Pedal, number])[] = [
  ['sustain', CC.sustain],
  ['sostenuto', CC.sostenuto],
  ['hold2', CC.hold2],
];
/** Release velocity of a note-off that came as a note-on with velocity 0, or that nobody played. */
const NO_RELEASE_VELOCITY = 64;

/**
 * Told everything that a line's tuner is told, before it is: another tuner that is told the same decides the same. On
 * the note path, so keep it short; it must not call back.
 */
export interface LineEar {
  heard(atMs: number, part: number, status: number, data1: number, data2: number): void;
  silenced(atMs: number, part: number): void;
  wentHome(atMs: number, when: 'now' | 'next'): void;
  heldDrift(atMs: number, isHeld: boolean): void;
  /** Everything is silent, and the tuner is under these settings from now on. */
  retold(settings: TunerSettings): void;
  /** The tuner is under these settings from now on, while everything sounds on. */
  adjusted(atMs: number, settings: TunerSettings): void;
  /** The tuner has begun anew, with nothing sounding. */
  restarted(): void;
}

/** Told of every decision, after the outlets have sent it. For reports; it must not call back. */
export type LineWatcher = Partial<TunerOut & LineEar>;

/**
 * The one straight line from a played message to what the outlets send: message → tuner → outlet. A file and a live
 * performance go down the same line; for the same messages at the same times they send the same.
 *
 * Synchronous from the call to the last send.
 */
export class Line implements TunerOut {
  #tuner: Tuner;
  readonly #outletsOf: (part: number) => readonly Outlet[];
  readonly #watcher: LineWatcher;
  readonly #stamp: (atMs: number) => void;
  #velocity = NO_RELEASE_VELOCITY;
  #isBypassed = false;

  /**
   * @param outletsOf the outlets a part plays through, always the same for the same part
   * @param stamp     called with the time of what is about to be sent, for sinks that write it down
   */
  constructor(
    tuner: Tuner,
    outletsOf: (part: number) => readonly Outlet[],
    stamp: (atMs: number) => void = () => {},
    watcher: LineWatcher = {},
  ) {
    this.#stamp = stamp;
    this.#tuner = tuner;
    this.#outletsOf = outletsOf;
    this.#watcher = watcher;
  }

  get tuner(): Tuner {
    return this.#tuner;
  }

  /**
   * A key goes down or comes up on a part; the tuner decides, its outlets send. Anything else a part does goes to
   * `control`.
   */
  key(atMs: number, part: number, status: number, data1: number, data2: number): void {
    this.#velocity = isNoteOn(status, data2) || (status & 0xf0) === NOTE_OFF ? data2 : NO_RELEASE_VELOCITY;
    this.#watcher.heard?.(atMs, part, status, data1, data2);
    playMessage(this.tuner, atMs, part, status, data1, data2, this);
    this.#velocity = NO_RELEASE_VELOCITY;
  }

  /** Any channel message of a part but keys. A pedal goes out before the notes it ends are let go. */
  control(atMs: number, part: number, status: number, data1: number, data2: number): void {
    this.time(atMs);
    this.#stamp(atMs);
    for (const outlet of this.#outletsOf(part)) outlet.control(atMs, part, status, data1, data2);
    this.#watcher.heard?.(atMs, part, status, data1, data2);
    playMessage(this.tuner, atMs, part, status, data1, data2, this);
  }

  /** Lets everything happen that is due by now: glides, the pull, notes settling. */
  time(atMs: number): void {
    step(this.tuner, { kind: 'time', atMs }, this);
  }

  /** Ends everything a part still sounds, note-offs and all. */
  silence(atMs: number, part: number): void {
    this.#watcher.silenced?.(atMs, part);
    step(this.tuner, { kind: 'silence', atMs, part }, this);
  }

  /** Lifts every pedal that holds notes, and ends everything that sounds, on every part. */
  silenceAll(atMs: number): void {
    for (const [part, pedals] of this.tuner.pedals) {
      for (const [pedal, controller] of PEDALS) {
        if (pedals[pedal]) this.control(atMs, part, CONTROL_CHANGE, controller, 0);
      }
    }
    for (const part of new Set(this.tuner.notes.map((note) => note.part))) this.silence(atMs, part);
  }

  /** Everything goes home, at once or with the next strike. */
  goHome(atMs: number, when: 'now' | 'next'): void {
    // What was due before is done before: a strike that settles forgets that it was to go home.
    this.time(atMs);
    this.#watcher.wentHome?.(atMs, when);
    if (when === 'now') goHomeNow(this.tuner, atMs, this);
    else goHomeNext(this.tuner);
  }

  /** Holds the drift where it is, or lets it go again. */
  holdDrift(atMs: number, isHeld: boolean): void {
    this.time(atMs);
    this.#watcher.heldDrift?.(atMs, isHeld);
    holdDrift(this.tuner, isHeld);
  }

  /** The tuner under other settings. Nothing may sound: silence everything before. */
  retell(settings: TunerSettings): void {
    this.#tuner = retell(this.tuner, settings);
    this.#watcher.retold?.(settings);
  }

  /** The tuner under settings that only adjust it: everything sounds on, and they hold for what comes. */
  adjust(atMs: number, settings: TunerSettings): void {
    this.#watcher.adjusted?.(atMs, settings);
    this.#tuner = adjust(this.tuner, settings, atMs, this);
  }

  /** The tuner starts over, as nothing sounds any more; pedals stay down, time and note numbers go on. Nothing is sent. */
  restart(): void {
    const { settings, nowMs, nextId, pedals } = this.tuner;
    this.#tuner = { ...createTuner(settings), nowMs, nextId, pedals };
    this.#watcher.restarted?.();
  }

  /** Whether everything sounds in 12 equal, while the tuner goes on deciding. */
  get isBypassed(): boolean {
    return this.#isBypassed;
  }

  /** Takes the tuning off or puts it back on; what sounds moves at once. */
  bypass(atMs: number, isBypassed: boolean): void {
    this.time(atMs);
    this.#isBypassed = isBypassed;
    this.#stamp(atMs);
    for (const note of this.tuner.notes) {
      const cents = this.#toSent(note, note.reportedCents);
      for (const outlet of this.#outletsOf(note.part)) outlet.retune(atMs, note.id, cents);
    }
  }

  start(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    this.#stamp(atMs);
    const sent = this.#toSent(note, cents);
    for (const outlet of this.#outletsOf(note.part)) {
      outlet.start(atMs, note.id, note.part, note.key, this.#velocity, sent);
    }
    this.#watcher.start?.(atMs, note, cents);
  }

  retune(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    this.#stamp(atMs);
    const sent = this.#toSent(note, cents);
    for (const outlet of this.#outletsOf(note.part)) outlet.retune(atMs, note.id, sent);
    this.#watcher.retune?.(atMs, note, cents);
  }

  release(atMs: number, note: Readonly<SoundingNote>): void {
    this.#stamp(atMs);
    for (const outlet of this.#outletsOf(note.part)) outlet.release(atMs, note.id, this.#velocity);
    this.#watcher.release?.(atMs, note);
  }

  end(atMs: number, note: Readonly<SoundingNote>): void {
    this.#stamp(atMs);
    for (const outlet of this.#outletsOf(note.part)) outlet.end(atMs, note.id);
    this.#watcher.end?.(atMs, note);
  }

  enter(entry: LedgerEntry): void {
    this.#watcher.enter?.(entry);
  }

  #toSent(note: Readonly<SoundingNote>, cents: number): number {
    return this.#isBypassed ? 100 * note.key + this.tuner.settings.referenceCents : cents;
  }
}

/** Whether a channel message is a key going down or up. */
export function isKeyMessage(status: number, data2: number): boolean {
  return isNoteOn(status, data2) || isNoteOff(status, data2);
}
