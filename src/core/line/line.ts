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
  type TunerSettings,
} from '../tuner/index.js';
import { isKeyMessage, PEDALS, toTunerEvents } from './message-events.js';
import { TuningGlide } from './tuning-glide.js';

/**
 * Receives every event but the passing of time, before the tuner takes it: another tuner that takes the same events
 * decides the same. Also receives every decision, after the outlets have sent it. On the note path, so it must be
 * short, and must not call back.
 */
export type LineListener = Partial<TunerOut> & {
  event?(event: TunerEvent): void;
  /** A note of an adopted tuner will start next: it has sounded there already. */
  resume?(note: Readonly<SoundingNote>): void;
};

/**
 * The one path from a played message to what the outlets send: message → tuner → outlet. A file and a live performance
 * use the same one; for the same messages at the same times they send the same. Synchronous from the call to the last
 * send. Times are in milliseconds and never decrease. Can't fail: what a sink throws passes through to the caller.
 */
export class Line implements TunerOut {
  #tuner: Tuner;
  readonly #outletsOf: (part: number) => readonly Outlet[];
  readonly #listener: LineListener;
  readonly #stamp: (atMs: number) => void;
  #isBypassed = false;
  readonly #glide = new TuningGlide();

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
    this.#tuner = tuner;
    this.#outletsOf = outletsOf;
    this.#listener = listener;
    this.#stamp = stamp;
  }

  /** What decides: another object after `adopt`. */
  get tuner(): Tuner {
    return this.#tuner;
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
    if (event.kind === 'settings' && this.#isBypassed) this.#followA(event.atMs, event.settings);
    step(this.#tuner, event, this);
  }

  /** Does everything that is due by now: glides, the pull, notes settling. */
  time(atMs: number): void {
    step(this.#tuner, { kind: 'time', atMs }, this);
    if (!this.isGliding) return;
    this.#glide.time(atMs, this.#tuner.settings.glideMs);
    this.#retuneAll(atMs);
  }

  /** Whether what sounds glides to another tuning: call `time` while it does, beside what the tuner needs. */
  get isGliding(): boolean {
    return this.#glide.isRunning;
  }

  /** Ends every note of a part, note-offs included. */
  silence(atMs: number, part: number): void {
    this.take({ kind: 'silence', atMs, part });
  }

  /** Lifts every pedal that holds notes, and ends every note, on every part. */
  silenceAll(atMs: number): void {
    for (const [part, pedals] of this.#tuner.pedals) {
      for (const [controller, pedal] of PEDALS) {
        if (pedals[pedal]) this.message(atMs, part, CONTROL_CHANGE, controller, 0);
      }
    }
    for (const part of new Set(this.#tuner.notes.map((note) => note.part))) this.silence(atMs, part);
  }

  /** Whether everything sounds in 12 equal, while the tuner continues to decide. */
  get isBypassed(): boolean {
    return this.#isBypassed;
  }

  /** Switches the tuning off or on. Sounding notes move at once, or glide within the glide time of the settings. */
  bypass(atMs: number, isBypassed: boolean, how: 'at once' | 'glide' = 'at once'): void {
    this.time(atMs);
    this.#retuneBy(atMs, () => {
      this.#isBypassed = isBypassed;
    });
    if (how === 'at once') this.#glide.end();
    this.#retuneAll(atMs);
  }

  /**
   * Lets another tuner decide from now on: one that is as if it had done so for long. The notes of both sound on, and glide
   * to where it has them. The rest end, and what only it has starts. It is brought to `atMs` first.
   */
  adopt(atMs: number, tuner: Tuner): void {
    this.time(atMs);
    step(tuner, { kind: 'time', atMs }, UNHEARD);
    const before = this.#tuner;
    for (const note of onlyOf(before, tuner)) {
      if (note.keyDown) this.release(atMs, note);
      this.end(atMs, note);
    }
    this.#retuneBy(atMs, () => {
      this.#tuner = tuner;
    });
    for (const note of onlyOf(tuner, before)) {
      this.#listener.resume?.(note);
      this.start(atMs, note, note.reportedCents);
      if (!note.keyDown) this.release(atMs, note);
    }
    this.#retuneAll(atMs);
  }

  /** 12 equal has another A, perhaps: what sounds glides there, and new notes with it. */
  #followA(atMs: number, settings: TunerSettings): void {
    const { notes, settings: before } = this.#tuner;
    const cents = before.referenceCents - settings.referenceCents;
    const ids = notes.map(({ id }) => id);
    if (cents !== 0) this.#glide.lower(atMs, ids, cents, before.glideMs);
  }

  /** Changes where notes belong. Those that sound begin to glide there. */
  #retuneBy(atMs: number, change: () => void): void {
    const toSent = (note: SoundingNote) => this.#toSent(atMs, note, note.reportedCents);
    const sentCents = new Map(this.#tuner.notes.map((note) => [note.id, toSent(note)]));
    change();
    this.#glide.end();
    const behindCents = new Map<number, number>();
    for (const note of this.#tuner.notes) {
      const cents = sentCents.get(note.id);
      if (cents !== undefined) behindCents.set(note.id, cents - toSent(note));
    }
    if (behindCents.size > 0) this.#glide.begin(atMs, behindCents);
  }

  #retuneAll(atMs: number): void {
    this.#stamp(atMs);
    for (const note of this.#tuner.notes) {
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
    const { referenceCents, glideMs } = this.#tuner.settings;
    const own = this.#isBypassed ? 100 * note.key + referenceCents : cents;
    return own + this.#glide.behindCents(atMs, note.id, glideMs);
  }
}

/** The notes that only one of two tuners has, by their ids. */
function onlyOf({ notes }: Tuner, other: Tuner): SoundingNote[] {
  const ids = new Set(other.notes.map(({ id }) => id));
  return notes.filter(({ id }) => !ids.has(id));
}

/** Takes the decisions of a tuner that nobody hears. */
const UNHEARD: TunerOut = { start() {}, retune() {}, release() {}, end() {}, enter() {} };

const NO_OUTLETS: readonly Outlet[] = Object.freeze([]);
