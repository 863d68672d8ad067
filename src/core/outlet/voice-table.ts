import { type MidiSink, NOTE_OFF, NOTE_ON, PITCH_BEND, toLsb, toMsb } from '../midi/index.js';
import { chooseFree, chooseShared, disturbsTail, FreeMembers, type MemberSetup } from './allocator.js';
import { type Bend, decideBend, decideKey } from './bend.js';
import { type Expression, keepExpression, NO_EXPRESSION } from './fingers.js';
import { InputBends } from './input-bends.js';
import type { Member, SentNote } from './member.js';
import type { BendOptions, OutletCounters } from './outlet.js';

/** Release velocity where the player gave none. MIDI 1.0 Detailed Specification 4.2.1, Note-Off. */
export const NO_RELEASE_VELOCITY = 64;

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
  readonly #inputBends: InputBends;
  // Reused, so that starting a note allocates only its record. Holds the bend decided last.
  readonly #bend: Bend = { value: 0, clamped: false };
  readonly #request = { key: 0, part: 0, bend: 0, expression: NO_EXPRESSION, atMs: 0 };

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
    this.#inputBends = new InputBends(options.rangeSemitones);
  }

  start(
    atMs: number,
    id: number,
    part: number,
    playedKey: number,
    velocity: number,
    cents: number,
    expression = NO_EXPRESSION,
  ): void {
    this.end(atMs, id);
    const bends = this.#inputBends;
    if (bends.isShort(part) && !this.#isHeard(part)) bends.restore(part);
    const key = decideKey(playedKey, cents, bends.wanted(part), this.#options.rangeSemitones);
    if (key !== playedKey) this.#counters.foldedNotes++;

    if (bends.makeRoom(part, cents - 100 * key)) this.bendPart(part);
    const bentCents = cents + bends.carried(part) + expression.bendCents;
    decideBend(bentCents - 100 * key, this.#options.rangeSemitones, this.#bend);
    const member = this.#allocate(atMs, part, key, this.#bend.value, expression);
    const note: SentNote = {
      id,
      part,
      playedKey,
      key,
      member,
      cents,
      expression,
      isClamped: false,
      before: undefined,
      after: undefined,
      nextDown: undefined,
    };
    this.#add(note);
    member.lastKey = key;
    this.#silenceKey(member, key);
    this.#setup.prepare(member, part, expression);
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
      this.#setup.prepare(member, heir.part, heir.expression);
      this.#bendToOwner(member);
    }
  }

  /** From now on the player's wheel adds `cents` to every note of the part, sounding ones included. */
  setInputBend(part: number, cents: number): void {
    const bends = this.#inputBends;
    if (bends.wanted(part) === cents) return;
    bends.set(part, cents);
    for (const { notes } of this.#members) {
      const owner = notes.last;
      if (owner?.part === part) bends.makeRoom(part, owner.cents - 100 * owner.key);
    }
    this.bendPart(part);
  }

  /** Resets all wheels. Only in silence: nothing is sent. */
  forgetInputBends(): void {
    this.#inputBends.clear();
  }

  /** Bends the notes of a part to where tuning, wheel and fingers have them. Sends only what changes. */
  bendPart(part: number): void {
    for (const { notes } of this.#members) {
      const owner = notes.last;
      if (owner?.part === part) this.#bendOwner(owner);
    }
  }

  /** Sends what the fingers of a part have changed beside bends. */
  express(part: number): void {
    for (const member of this.#members) {
      const owner = member.notes.last;
      if (owner?.part === part && owner.expression !== NO_EXPRESSION)
        this.#setup.prepare(member, part, owner.expression);
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
  #allocate(atMs: number, part: number, key: number, bend: number, expression: Expression): Member {
    const request = this.#request;
    request.key = key;
    request.part = part;
    request.bend = bend;
    request.expression = expression;
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

  /** Whether a note of the part owns the bend of a channel. */
  #isHeard(part: number): boolean {
    for (const { notes } of this.#members) if (notes.last?.part === part) return true;
    return false;
  }

  /** Bends a member to the pitch of its owner; if the wheel gives way to that, also the part's other notes. */
  #bendToOwner(member: Member): void {
    const owner = member.notes.last!;
    if (this.#inputBends.makeRoom(owner.part, owner.cents - 100 * owner.key)) this.bendPart(owner.part);
    else this.#bendOwner(owner);
  }

  #bendOwner(owner: SentNote): void {
    const sounding = owner.cents + this.#inputBends.carried(owner.part) + owner.expression.bendCents;
    decideBend(sounding - 100 * owner.key, this.#options.rangeSemitones, this.#bend);
    this.#bendAsDecided(owner);
  }

  /** Bends the member of the note that owns it to the bend just decided. */
  #bendAsDecided(note: SentNote): void {
    const isClamped = this.#bend.clamped || this.#inputBends.isShort(note.part);
    if (isClamped && !note.isClamped) this.#counters.clampedBends++;
    note.isClamped = isClamped;
    this.bendTo(note.member, this.#bend.value);
  }

  #sendOff(note: SentNote, velocity: number): void {
    this.#sink.channel(NOTE_OFF | note.member.channel, note.key, velocity);
    note.member.down.remove(note);
    note.expression = keepExpression(note.expression);
  }
}
