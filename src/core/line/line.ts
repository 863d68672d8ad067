import { CONTROL_CHANGE } from '../midi/index.js';
import type { Outlet } from '../outlet/index.js';
import {
  type LedgerEntry,
  NO_VELOCITY,
  type SoundingNote,
  step,
  type Tuner,
  type TunerEvent,
  type TunerOut,
} from '../tuner/index.js';
import { isKeyMessage, PEDALS, toTunerEvents } from './message-events.js';

/**
 * Receives every event but the passing of time, before the tuner takes it: another tuner that takes the same events
 * decides the same. Also receives every decision, after the outlets have sent it. On the note path, so it must be
 * short, and must not call back.
 */
export type LineListener = Partial<TunerOut> & { event?(event: TunerEvent): void };

/**
 * The one path from a played message to what the outlets send: message → tuner → outlet. A file and a live performance
 * use the same one; for the same messages at the same times they send the same. Synchronous from the call to the last
 * send. Times are in milliseconds and never decrease. Can't fail: what a sink throws passes through to the caller.
 */
export class Line implements TunerOut {
  readonly tuner: Tuner;
  readonly #outletsOf: (part: number) => readonly Outlet[];
  readonly #listener: LineListener;
  readonly #stamp: (atMs: number) => void;
  #isBypassed = false;
  /** While 12 equal glides to another A: when that began, and from where, in cents. -Infinity when it doesn't. */
  #glideFromMs = -Infinity;
  #glideFromCents = 0;

  /**
   * @param outletsOf the outlets a part plays through, always the same for the same part
   * @param stamp     called with the time of what is about to be sent, for sinks that record it
   */
  constructor(
    tuner: Tuner,
    outletsOf: (part: number) => readonly Outlet[],
    listener: LineListener = {},
    stamp: (atMs: number) => void = () => {},
  ) {
    this.tuner = tuner;
    this.#outletsOf = outletsOf;
    this.#listener = listener;
    this.#stamp = stamp;
  }

  /**
   * A part plays a channel message. Keys are decided and sent as notes. Everything else is sent unchanged, and then the
   * tuner takes it: a pedal is sent before the notes it ends.
   *
   * @param finger the finger of the part it comes from, 1..15; 0: it is for the part as a whole
   */
  message(atMs: number, part: number, status: number, data1: number, data2: number, finger = 0): void {
    if (!isKeyMessage(status, data2)) this.control(atMs, part, status, data1, data2, finger);
    for (const event of toTunerEvents(atMs, part, status, data1, data2, finger)) this.take(event);
  }

  /** Sends what isn't a key to a part's outlets, without the tuner's knowledge. */
  control(atMs: number, part: number, status: number, data1: number, data2: number, finger = 0): void {
    this.time(atMs);
    this.#stamp(atMs);
    for (const outlet of this.#outletsOf(part)) outlet.control(atMs, part, status, data1, data2, finger);
  }

  /**
   * A partner that can't be tuned plays a channel message. It goes out elsewhere, as it came: here the tuner alone hears
   * it, with its notes at their own pitch.
   *
   * @param fixedCents where its keys sound: cents off 12 equal at A = 440 Hz, by key class 0..11
   */
  hearFixed(
    atMs: number,
    part: number,
    status: number,
    data1: number,
    data2: number,
    fixedCents: readonly number[],
    finger = 0,
  ): void {
    for (const event of toTunerEvents(atMs, part, status, data1, data2, finger)) {
      if (event.kind !== 'note-on') this.take(event);
      else {
        const { kind, key, velocity = NO_VELOCITY } = event;
        this.take({ kind, atMs, part, key, velocity, finger, fixedCents: 100 * key + fixedCents[key % 12] });
      }
    }
  }

  take(event: TunerEvent): void {
    this.#listener.event?.(event);
    if (event.kind === 'settings' && this.#isBypassed) {
      this.#glideFromCents = this.#toEqualCents(event.atMs);
      this.#glideFromMs = event.atMs;
    }
    step(this.tuner, event, this);
  }

  /** Does everything that is due by now: glides, the pull, notes settling. */
  time(atMs: number): void {
    step(this.tuner, { kind: 'time', atMs }, this);
    if (!this.isGliding) return;
    if (atMs - this.#glideFromMs >= this.tuner.settings.glideMs) this.#glideFromMs = -Infinity;
    this.#retuneAll(atMs);
  }

  /** Whether 12 equal glides to another A: call `time` while it does, beside what the tuner needs. */
  get isGliding(): boolean {
    return this.#glideFromMs !== -Infinity;
  }

  /** Ends every note of a part, note-offs included. */
  silence(atMs: number, part: number): void {
    this.take({ kind: 'silence', atMs, part });
  }

  /** Lifts every pedal that holds notes, and ends every note, on every part. */
  silenceAll(atMs: number): void {
    for (const [part, pedals] of this.tuner.pedals) {
      for (const [controller, pedal] of PEDALS) {
        if (pedals[pedal]) this.message(atMs, part, CONTROL_CHANGE, controller, 0);
      }
    }
    for (const part of new Set(this.tuner.notes.map((note) => note.part))) this.silence(atMs, part);
  }

  /** Whether everything sounds in 12 equal, while the tuner continues to decide. */
  get isBypassed(): boolean {
    return this.#isBypassed;
  }

  /** Switches the tuning off or on; sounding notes move at once. */
  bypass(atMs: number, isBypassed: boolean): void {
    this.time(atMs);
    this.#isBypassed = isBypassed;
    this.#glideFromMs = -Infinity;
    this.#retuneAll(atMs);
  }

  #retuneAll(atMs: number): void {
    this.#stamp(atMs);
    for (const note of this.tuner.notes) {
      const cents = this.#toSent(atMs, note, note.reportedCents);
      for (const outlet of this.#outletsFor(note)) outlet.retune(atMs, note.id, cents);
    }
  }

  start(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    this.#stamp(atMs);
    const sent = this.#toSent(atMs, note, cents);
    for (const outlet of this.#outletsFor(note)) {
      outlet.start(atMs, note.id, note.part, note.key, note.velocity, sent, note.finger);
    }
    this.#listener.start?.(atMs, note, cents);
  }

  retune(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    this.#stamp(atMs);
    const sent = this.#toSent(atMs, note, cents);
    for (const outlet of this.#outletsFor(note)) outlet.retune(atMs, note.id, sent);
    this.#listener.retune?.(atMs, note, cents);
  }

  release(atMs: number, note: Readonly<SoundingNote>): void {
    this.#stamp(atMs);
    for (const outlet of this.#outletsFor(note)) outlet.release(atMs, note.id, note.releaseVelocity);
    this.#listener.release?.(atMs, note);
  }

  end(atMs: number, note: Readonly<SoundingNote>): void {
    this.#stamp(atMs);
    for (const outlet of this.#outletsFor(note)) outlet.end(atMs, note.id);
    this.#listener.end?.(atMs, note);
  }

  enter(entry: LedgerEntry): void {
    this.#listener.enter?.(entry);
  }

  /** What can't be tuned sounds elsewhere, as it is. */
  #outletsFor({ part, fixedCents }: Readonly<SoundingNote>): readonly Outlet[] {
    return fixedCents === undefined ? this.#outletsOf(part) : NO_OUTLETS;
  }

  #toSent(atMs: number, note: Readonly<SoundingNote>, cents: number): number {
    return this.#isBypassed ? 100 * note.key + this.#toEqualCents(atMs) : cents;
  }

  /** The pitch of A in 12 equal, in cents. */
  #toEqualCents(atMs: number): number {
    const { referenceCents, glideMs } = this.tuner.settings;
    if (!this.isGliding) return referenceCents;
    const left = glideMs <= 0 ? 0 : Math.max(0, 1 - (atMs - this.#glideFromMs) / glideMs);
    return referenceCents + (this.#glideFromCents - referenceCents) * left;
  }
}

const NO_OUTLETS: readonly Outlet[] = Object.freeze([]);
