import { CC, CONTROL_CHANGE, NOTE_OFF, NOTE_ON, POLY_PRESSURE, RPN } from '../midi/index.js';
import { CHANGED, Fingers, keepExpression, NO_EXPRESSION } from './fingers.js';
import { KeyTable, type TuningTarget } from './key-table.js';
import { DownNotes } from './member-notes.js';
import { createCounters, type Outlet } from './outlet.js';
import { selectParameter } from './parameters.js';
import { PlainChannel, silenceBare } from './plain-channel.js';
import { chooseTunedKey, isTaken, type TunedNote } from './tuned-keys.js';
import { toTuning } from './tuning-word.js';
import { NO_RELEASE_VELOCITY } from './voice-table.js';

/** Settings of {@link createMts}. */
export interface MtsOptions extends TuningTarget {
  /** The fixed channel 0..15 of a part. By default all play on one: `() => 0`. */
  readonly channelOf: (part: number) => number;
}

/**
 * An outlet for a receiver that can tune each key (MIDI Tuning Standard): one channel a part, and a tuning change
 * before a note-on where the key isn't at that pitch already.
 *
 * All channels share one tuning table, so a key is at one pitch at a time. A note whose key is held at another pitch
 * takes a free key nearby. Where there is none, the key is shared: the note that started last owns its tuning, which
 * goes back when that note ends. Notes that start at one time at one pitch share a key for good: a move of one moves
 * the other. Controllers, program, pressure and bend pass unchanged on the part's channel, and are set again where a
 * receiver may have lost them. The receiver applies the bend itself. Of what a finger does, the bend is part of the key's
 * tuning, pressure becomes poly pressure, and CC 74 is for the part's channel, since a key has none.
 *
 * @see MIDI Tuning Updated Specification, Single Note Tuning Change (Real-Time), and RPN 03 Tuning Program
 * @example
 * const outlet = createMts({ device: 0x7f, program: 0, channelOf: () => 0, sink });
 * outlet.open();
 * sink.clear();
 * outlet.start(0, 1, 0, 64, 90, 6386.314);
 * sink.sent  // ['F0 7F 7F 08 02 00 01 40 3F 6E 3E F7', '90 40 5A']
 */
export function createMts(options: MtsOptions): Outlet {
  return new MtsOutlet(options);
}

class MtsOutlet implements Outlet {
  readonly kind = 'mts';
  readonly counters = createCounters();
  readonly #options: MtsOptions;
  readonly #table: KeyTable;
  readonly #notes = new Map<number, TunedNote>();
  readonly #fingers = new Fingers();
  readonly #sounding = new Uint32Array(16);
  /** Those whose note-on still waits for its note-off, by channel. */
  readonly #down = Array.from({ length: 16 }, () => new DownNotes<TunedNote>());
  /** Channels that have selected the tuning program since it was opened. */
  readonly #selected = new Set<PlainChannel>();
  /** All channels ever in use: a receiver whose cable was pulled may still sound there. */
  readonly #channels: (PlainChannel | undefined)[] = [];

  constructor(options: MtsOptions) {
    this.#options = options;
    this.#table = new KeyTable(options, this.counters);
  }

  open(): void {
    this.#doubt();
    this.#useFirst();
  }

  silenceAndOpen(): void {
    this.#doubt();
    // A part may play on any channel, so an earlier run may have left notes on any.
    for (let channel = 0; channel < 16; channel++) {
      const plain = this.#channels[channel];
      if (plain === undefined) silenceBare(this.#options.sink, channel);
      else plain.silence();
    }
    this.#useFirst();
  }

  start(
    atMs: number,
    id: number,
    part: number,
    playedKey: number,
    velocity: number,
    cents: number,
    finger = 0,
  ): void {
    this.end(atMs, id);
    const expression = this.#fingers.of(part, finger);
    const plain = this.#channelOf(part);
    plain.prepare();
    const { channel } = plain;
    const tuning = toTuning(cents + expression.bendCents);
    const down = this.#down[channel];
    const tunedKey = chooseTunedKey(this.#table.keys, playedKey, cents, tuning, down, atMs);
    const { key } = tunedKey;
    if (key !== playedKey) this.counters.foldedNotes++;
    if (isTaken(tunedKey, tuning, down, atMs)) {
      this.counters.sharedNotes++;
      const before = down.at(key);
      if (before !== undefined) this.#sendOff(before, NO_RELEASE_VELOCITY);
    }
    const note: TunedNote = {
      id,
      part,
      playedKey,
      key,
      channel,
      tunedKey,
      atMs,
      cents,
      expression,
      isClamped: false,
      before: undefined,
      after: undefined,
      nextDown: undefined,
    };
    this.#notes.set(id, note);
    tunedKey.notes.add(note);
    if (this.#sounding[channel]++ === 0) this.#countChannels();
    this.#table.tune(tunedKey);
    // Recorded as sent before it is tried: if the sink throws, a drain must know what may sound.
    down.add(note);
    this.#options.sink.channel(NOTE_ON | channel, key, velocity);
    this.#table.press(note);
  }

  retune(_atMs: number, id: number, cents: number): void {
    const note = this.#notes.get(id);
    if (note === undefined) return;
    note.cents = cents;
    this.#table.tune(note.tunedKey);
  }

  release(_atMs: number, id: number, velocity: number): void {
    const note = this.#notes.get(id);
    if (note !== undefined && this.#isDown(note)) this.#sendOff(note, velocity);
  }

  end(_atMs: number, id: number): void {
    const note = this.#notes.get(id);
    if (note === undefined) return;
    if (this.#isDown(note)) this.#sendOff(note, NO_RELEASE_VELOCITY);
    this.#notes.delete(id);
    this.#sounding[note.channel]--;
    const { tunedKey } = note;
    tunedKey.notes.remove(note);
    this.#table.tune(tunedKey);
  }

  control(_atMs: number, part: number, status: number, data1: number, data2: number, finger = 0): void {
    const plain = this.#channelOf(part);
    const changed = this.#fingers.control(part, finger, status, data1, data2);
    if (changed !== 0) this.#express(part, changed);
    if (finger > 0 ? (changed & CHANGED.timbre) !== 0 : (status & 0xf0) !== POLY_PRESSURE)
      plain.pass(part, status, data1, data2);
    if (finger > 0 || (status & 0xf0) !== POLY_PRESSURE) return;
    const { channel } = plain;
    for (let note = this.#down[channel].firstOf(data1); note !== undefined; note = note.nextDown) {
      if (note.part === part) this.#options.sink.channel(POLY_PRESSURE | channel, note.key, data2);
    }
  }

  system(bytes: Uint8Array): void {
    this.#options.sink.system(bytes);
  }

  forget(): void {
    for (const channel of this.#channels) channel?.forget();
    this.#fingers.forget();
  }

  drain(_atMs: number): void {
    this.#clear();
    for (const channel of this.#channels) channel?.silence();
  }

  /** Ends all notes; what the receiver has is unknown. */
  #doubt(): void {
    this.#clear();
    this.#table.doubt();
    this.#selected.clear();
    for (const channel of this.#channels) channel?.doubt();
  }

  /** The first part's channel is in use from the start, so that a drain silences what an earlier run left there. */
  #useFirst(): void {
    this.#channelAt(this.#options.channelOf(0));
  }

  #channelOf(part: number): PlainChannel {
    const plain = this.#channelAt(this.#options.channelOf(part));
    plain.join(part);
    return plain;
  }

  /** A channel, which selects the tuning program on first use. */
  #channelAt(channel: number): PlainChannel {
    const { sink, program } = this.#options;
    this.#channels[channel] ??= new PlainChannel(sink, channel);
    const plain = this.#channels[channel];
    if (!this.#selected.has(plain)) {
      this.#selected.add(plain);
      selectParameter(sink, channel, RPN.tuningProgram);
      sink.channel(CONTROL_CHANGE | channel, CC.dataEntry, program);
      selectParameter(sink, channel, RPN.none);
    }
    return plain;
  }

  /** Sends what the fingers of a part have changed. */
  #express(part: number, changed: number): void {
    for (const note of this.#notes.values()) {
      if (note.part !== part || note.expression === NO_EXPRESSION) continue;
      if ((changed & CHANGED.bend) !== 0) this.#table.tune(note.tunedKey);
      if ((changed & CHANGED.pressure) !== 0 && this.#isDown(note)) this.#table.press(note);
    }
  }

  /** Sends every due note-off and clears the notes: late calls for them are ignored. */
  #clear(): void {
    for (const note of this.#notes.values()) if (this.#isDown(note)) this.#sendOff(note, NO_RELEASE_VELOCITY);
    for (const key of this.#table.keys) key.notes.clear();
    this.#notes.clear();
    this.#sounding.fill(0);
  }

  #isDown(note: TunedNote): boolean {
    return this.#down[note.channel].has(note);
  }

  #sendOff(note: TunedNote, velocity: number): void {
    this.#options.sink.channel(NOTE_OFF | note.channel, note.key, velocity);
    this.#down[note.channel].remove(note);
    note.expression = keepExpression(note.expression);
  }

  #countChannels(): void {
    let busy = 0;
    for (const notes of this.#sounding) if (notes > 0) busy++;
    if (busy > this.counters.peakChannels) this.counters.peakChannels = busy;
  }
}
