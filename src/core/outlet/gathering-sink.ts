import { isNoteOff, isNoteOn, type MidiSink, NOTE_OFF, PITCH_BEND, POLY_PRESSURE } from '../midi/index.js';
import { isSamePlace, toTunedKey } from './tuning-word.js';

/** A message that waits. */
interface Waiting {
  readonly dueMs: number;
  /** 0 for a system message. */
  status: number;
  data1: number;
  data2: number;
  bytes: Uint8Array | undefined;
}

/** More than ten inputs at full speed fill in the longest wait; beyond that the oldest goes out early. */
const MOST = 4096;

/**
 * A sink that lets everything wait for the same few milliseconds, so that a chord gathers before it sounds. What is
 * decided about the pitch of a note that still waits goes out before it: its bend, or the tuning of its key. So a note
 * starts where the others of its chord want it, and needn't move.
 *
 * Messages keep their order and their distance in time. Call `flush` every millisecond or two while `isWaiting`.
 *
 * Hot path.
 *
 * @example
 * let nowMs = 0;
 * const gathering = new GatheringSink(sink, 10, () => nowMs);
 * gathering.channel(0x90, 60, 80);
 * nowMs = 4;
 * gathering.channel(0xe0, 0, 70);  // what the next finger does to the pitch of the first
 * gathering.flush(10);
 * sink.sent                        // ['E0 00 46', '90 3C 50']
 */
export class GatheringSink implements MidiSink {
  readonly #sink: MidiSink;
  readonly #waitMs: number;
  readonly #now: () => number;
  readonly #waiting: Waiting[] = [];

  /** @param now the time in milliseconds, which never goes back */
  constructor(sink: MidiSink, waitMs: number, now: () => number) {
    this.#sink = sink;
    this.#waitMs = waitMs;
    this.#now = now;
  }

  get isWaiting(): boolean {
    return this.#waiting.length > 0;
  }

  channel(status: number, data1: number, data2: number): void {
    const isBend = (status & 0xf0) === PITCH_BEND;
    const at = isBend ? this.#findStart((one) => (one.status & 0x0f) === (status & 0x0f)) : -1;
    if (at < 0) this.#add({ dueMs: this.#now() + this.#waitMs, status, data1, data2, bytes: undefined });
    else this.#putBefore(at, (one) => one.status === status, { status, data1, data2, bytes: undefined });
  }

  system(bytes: Uint8Array): void {
    const key = toTunedKey(bytes);
    const at = key === undefined ? -1 : this.#findStart((one) => one.data1 === key);
    // The bytes are the sender's.
    const message = { status: 0, data1: 0, data2: 0, bytes: bytes.slice() };
    if (at < 0) this.#add({ dueMs: this.#now() + this.#waitMs, ...message });
    else this.#putBefore(at, (one) => one.bytes !== undefined && isSameTuning(one.bytes, bytes), message);
  }

  /** Sends what has waited long enough. */
  flush(nowMs: number): void {
    let due = 0;
    while (due < this.#waiting.length && this.#waiting[due].dueMs <= nowMs) due++;
    for (const one of this.#waiting.splice(0, due)) this.#send(one);
  }

  /** Sends everything at once, but notes that haven't started: everything is to be silent, or set up again. */
  finish(): void {
    const cancelled = new Set<number>();
    for (const one of this.#waiting.splice(0)) {
      const note = ((one.status & 0x0f) << 7) | one.data1;
      if (isNoteOn(one.status, one.data2)) cancelled.add(note);
      else if (!isNoteOff(one.status, one.data2) || !cancelled.delete(note)) this.#send(one);
    }
  }

  /** The last note-on that waits and is meant, unless its note-off does too; -1 if none. */
  #findStart(isMeant: (one: Waiting) => boolean): number {
    const isNote = ({ status }: Waiting) => status >= NOTE_OFF && status < POLY_PRESSURE;
    const at = this.#waiting.findLastIndex((one) => isNote(one) && isMeant(one));
    return at >= 0 && isNoteOn(this.#waiting[at].status, this.#waiting[at].data2) ? at : -1;
  }

  /** Puts a message before the note at a place, instead of one of its kind that waits there. */
  #putBefore(at: number, isSame: (one: Waiting) => boolean, message: Omit<Waiting, 'dueMs'>): void {
    for (let before = at - 1; before >= 0; before--) {
      if (!isSame(this.#waiting[before])) continue;
      Object.assign(this.#waiting[before], message);
      return;
    }
    this.#waiting.splice(at, 0, { dueMs: this.#waiting[at].dueMs, ...message });
  }

  #add(one: Waiting): void {
    this.#waiting.push(one);
    if (this.#waiting.length > MOST) this.#send(this.#waiting.shift()!);
  }

  #send({ status, data1, data2, bytes }: Waiting): void {
    if (bytes === undefined) this.#sink.channel(status, data1, data2);
    else this.#sink.system(bytes);
  }
}

function isSameTuning(a: Uint8Array, b: Uint8Array): boolean {
  return toTunedKey(a) === toTunedKey(b) && isSamePlace(a, b);
}
