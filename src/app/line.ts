import { isNoteOff, isNoteOn, NOTE_OFF } from '../core/midi/index.js';
import type { Outlet } from '../core/outlet/index.js';
import { playMessage } from '../core/score/index.js';
import { type LedgerEntry, type SoundingNote, step, type Tuner, type TunerOut } from '../core/tuner/index.js';

/** Release velocity of a note-off that came as a note-on with velocity 0, or that nobody played. */
const NO_RELEASE_VELOCITY = 64;

/** Told of every decision, after the outlets have sent it. For reports; it must not call back. */
export type LineWatcher = Partial<TunerOut>;

/**
 * The one straight line from a played message to what the outlets send: message → tuner → outlet. A file and a live
 * performance go down the same line; for the same messages at the same times they send the same.
 *
 * Synchronous from the call to the last send.
 */
export class Line implements TunerOut {
  /** May be replaced, in silence, by one that was told anew. */
  tuner: Tuner;
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
    this.tuner = tuner;
    this.#outletsOf = outletsOf;
    this.#watcher = watcher;
  }

  /**
   * A key goes down or comes up on a part; the tuner decides, its outlets send. Anything else a part does goes to
   * `control`.
   */
  key(atMs: number, part: number, status: number, data1: number, data2: number): void {
    this.#velocity = isNoteOn(status, data2) || (status & 0xf0) === NOTE_OFF ? data2 : NO_RELEASE_VELOCITY;
    playMessage(this.tuner, atMs, part, status, data1, data2, this);
    this.#velocity = NO_RELEASE_VELOCITY;
  }

  /** Any channel message of a part but keys. A pedal goes out before the notes it ends are let go. */
  control(atMs: number, part: number, status: number, data1: number, data2: number): void {
    this.time(atMs);
    this.#stamp(atMs);
    for (const outlet of this.#outletsOf(part)) outlet.control(atMs, part, status, data1, data2);
    playMessage(this.tuner, atMs, part, status, data1, data2, this);
  }

  /** Lets everything happen that is due by now: glides, the pull, notes settling. */
  time(atMs: number): void {
    step(this.tuner, { kind: 'time', atMs }, this);
  }

  /** Ends everything a part still sounds, note-offs and all. */
  silence(atMs: number, part: number): void {
    step(this.tuner, { kind: 'silence', atMs, part }, this);
  }

  /** Ends everything that sounds, on every part. */
  silenceAll(atMs: number): void {
    for (const part of new Set(this.tuner.notes.map((note) => note.part))) this.silence(atMs, part);
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
