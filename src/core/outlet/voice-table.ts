import { type MidiSink, NOTE_OFF, NOTE_ON, PITCH_BEND, toLsb, toMsb } from '../midi/index.js';
import { chooseFree, chooseShared, disturbsTail, FreeMembers, type IsReady } from './allocator.js';
import { type Bend, decideBend, decideKey } from './bend.js';
import type { Member, SentNote } from './member.js';
import type { BendOptions, OutletCounters } from './outlet.js';

/** Release velocity where the player gave none. MIDI 1.0 Detailed Specification 4.2.1, Note-Off. */
export const NO_RELEASE_VELOCITY = 64;

/** What a member needs beside its bend before a note of a part may start on it. */
export interface MemberSetup {
  readonly isReady: IsReady;
  readonly prepare: (member: Member, part: number) => void;
}

/**
 * The audible notes on separate channels, and the channels.
 *
 * Where two notes share a channel, the one that started last owns its bend. The channel moves to the newcomer's pitch
 * (the allocator chose the smallest move), retuning its other notes is only stored, and when the owner ends the bend
 * returns to the last started of the rest.
 *
 * If a sink throws, `clear` still works: a note-on counts as sent before it is tried, everything else only afterwards,
 * so nothing that may sound is lost.
 */
export class VoiceTable {
  readonly #sink: MidiSink;
  readonly #members: readonly Member[];
  readonly #free: FreeMembers;
  /** The notes that can be heard, by their id. */
  readonly #notes = new Map<number, SentNote>();
  readonly #options: BendOptions;
  readonly #setup: MemberSetup;
  readonly #counters: OutletCounters;
  /** What the player's wheel adds, in cents, by part. */
  readonly #inputBendCents: number[] = [];
  // Reused, so that starting a note allocates only its record. Holds the bend decided last.
  readonly #bend: Bend = { value: 0, clamped: false };
  readonly #request = { key: 0, part: 0, bend: 0, atMs: 0 };

  constructor(
    sink: MidiSink,
    members: readonly Member[],
    options: BendOptions,
    setup: MemberSetup,
    counters: OutletCounters,
  ) {
    this.#sink = sink;
    this.#members = members;
    this.#free = new FreeMembers(members);
    this.#options = options;
    this.#setup = setup;
    this.#counters = counters;
  }

  start(atMs: number, id: number, part: number, playedKey: number, velocity: number, cents: number): void {
    this.end(atMs, id);
    const inputBend = this.#inputBendCents[part] ?? 0;
    const key = decideKey(playedKey, cents, inputBend, this.#options.rangeSemitones);
    if (key !== playedKey) this.#counters.foldedNotes++;

    decideBend(cents + inputBend - 100 * key, this.#options.rangeSemitones, this.#bend);
    const member = this.#allocate(atMs, part, key, this.#bend.value);
    const note: SentNote = {
      id,
      part,
      playedKey,
      key,
      member,
      cents,
      isClamped: false,
      before: undefined,
      after: undefined,
      nextDown: undefined,
    };
    this.#add(note);
    member.lastKey = key;
    this.#silenceKey(member, key);
    this.#setup.prepare(member, part);
    this.#bendAsDecided(note);
    member.down.add(note);
    this.#sink.channel(NOTE_ON | member.channel, key, velocity);
  }

  retune(id: number, cents: number): void {
    const note = this.#notes.get(id);
    if (note === undefined) return;
    note.cents = cents;
    this.#bendToOwner(note.member);
  }

  release(id: number, velocity: number): void {
    const note = this.#notes.get(id);
    if (note?.member.down.has(note)) this.#sendOff(note, velocity);
  }

  end(atMs: number, id: number): void {
    const note = this.#notes.get(id);
    if (note === undefined) return;
    const { member } = note;
    if (member.down.has(note)) this.#sendOff(note, NO_RELEASE_VELOCITY);
    const owned = member.notes.last === note;
    this.#notes.delete(note.id);
    member.notes.remove(note);
    member.keyCounts[note.key]--;
    const heir = member.notes.last;
    if (heir === undefined) {
      member.freedAtMs = atMs;
      this.#free.add(member);
    } else if (owned) {
      this.#setup.prepare(member, heir.part);
      this.#bendToOwner(member);
    }
  }

  /** From now on the player's wheel adds `cents` to every note of the part, sounding ones included. */
  setInputBend(part: number, cents: number): void {
    if ((this.#inputBendCents[part] ?? 0) === cents) return;
    this.#inputBendCents[part] = cents;
    for (const member of this.#members) if (member.notes.last?.part === part) this.#bendToOwner(member);
  }

  /** Resets all wheels. Only in silence: nothing is sent. */
  forgetInputBends(): void {
    this.#inputBendCents.length = 0;
  }

  /** Calls `visit` for each note of a part whose key is down. */
  forEachDown(visit: (note: SentNote) => void, part: number): void {
    for (const { notes, down } of this.#members) {
      for (let note = notes.first; note !== undefined; note = note.after) {
        if (note.part === part && down.has(note)) visit(note);
      }
    }
  }

  /** Calls `visit` for each note of a part that was played on a key which is still down. */
  forEachDownOn(playedKey: number, visit: (note: SentNote) => void, part: number): void {
    for (const { down } of this.#members) {
      for (let note = down.firstOf(playedKey); note !== undefined; note = note.nextDown) {
        if (note.part === part) visit(note);
      }
    }
  }

  /** Sends every due note-off and clears the notes: late calls for them are ignored. Nothing rings any more. */
  clear(): void {
    for (const member of this.#members) {
      const { notes, down } = member;
      for (let note = notes.first; note !== undefined; note = note.after) {
        if (down.has(note)) this.#sendOff(note, NO_RELEASE_VELOCITY);
      }
      if (notes.count === 0) this.#free.remove(member);
      for (let note = notes.first; note !== undefined; note = note.after) this.#notes.delete(note.id);
      notes.clear();
      member.keyCounts.fill(0);
      member.freedAtMs = -Infinity;
      member.lastKey = -1;
      this.#free.add(member);
    }
  }

  /** Sends a bend, if it changes. */
  bendTo(member: Member, value: number): void {
    if (member.bend === value) return;
    this.#sink.channel(PITCH_BEND | member.channel, toLsb(value), toMsb(value));
    member.bend = value;
  }

  #add(note: SentNote): void {
    const { member } = note;
    if (member.notes.count === 0) this.#free.remove(member);
    member.notes.add(note);
    member.keyCounts[note.key]++;
    this.#notes.set(note.id, note);
    const busy = this.#members.length - this.#free.list.length;
    if (busy > this.#counters.peakChannels) this.#counters.peakChannels = busy;
  }

  /** Picks a member for a note and counts what that costs. */
  #allocate(atMs: number, part: number, key: number, bend: number): Member {
    const request = this.#request;
    request.key = key;
    request.part = part;
    request.bend = bend;
    request.atMs = atMs;
    const { releaseHoldMs } = this.#options;
    const free = chooseFree(this.#free.list, request, releaseHoldMs, this.#setup.isReady);
    if (free === undefined) {
      this.#counters.sharedNotes++;
      return chooseShared(this.#members, request, this.#setup.isReady);
    }
    if (disturbsTail(free, request, releaseHoldMs, this.#setup.isReady)) this.#counters.hurriedNotes++;
    return free;
  }

  /** Sends a note-off for that key on that channel: the note-off of one note would stop the other. */
  #silenceKey(member: Member, key: number): void {
    const note = member.down.at(key);
    if (note !== undefined) this.#sendOff(note, NO_RELEASE_VELOCITY);
  }

  #bendToOwner(member: Member): void {
    const note = member.notes.last!;
    const sounding = note.cents + (this.#inputBendCents[note.part] ?? 0);
    decideBend(sounding - 100 * note.key, this.#options.rangeSemitones, this.#bend);
    this.#bendAsDecided(note);
  }

  /** Bends the member of the note that owns it to the bend just decided. */
  #bendAsDecided(note: SentNote): void {
    if (this.#bend.clamped && !note.isClamped) this.#counters.clampedBends++;
    note.isClamped = this.#bend.clamped;
    this.bendTo(note.member, this.#bend.value);
  }

  #sendOff(note: SentNote, velocity: number): void {
    this.#sink.channel(NOTE_OFF | note.member.channel, note.key, velocity);
    note.member.down.remove(note);
  }
}
