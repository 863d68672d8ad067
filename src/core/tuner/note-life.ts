import { UNISON } from '../theory/index.js';
import { NO_VELOCITY, type Pedal, type TunerEvent, type TunerOut } from './events.js';
import { toRemembered } from './fill-scene.js';
import { learnTouch, touchOf } from './leaving.js';
import { enterEnded } from './ledger.js';
import { remember } from './memory.js';
import type { SoundingNote } from './note.js';
import { leavesImpure } from './settings.js';
import { closePull, closeStrike, settleNote, tieNote } from './settling.js';
import { placeStrike, placeWithout, reportStrike } from './strike.js';
import {
  addToSlot,
  findRinging,
  notesOf,
  type OpenStrike,
  type Pedals,
  type Tuner,
  toSlot,
  toSoundingCents,
} from './tuner.js';

/** Less impurity, in cent-seconds, is added to the total without an entry. */
const LEAST_IMPURITY = 0.001;

type NoteOn = Extract<TunerEvent, { kind: 'note-on' }>;

/** A key goes down: the note starts, and its strike is placed again with it. */
export function startNote(
  tuner: Tuner,
  atMs: number,
  { part, key, velocity = NO_VELOCITY, finger = 0, fixedCents }: NoteOn,
  out: TunerOut,
): void {
  // The same string is struck again: that ends what the pedal still held of it.
  const ringing = findRinging(tuner, part, key);
  if (ringing !== undefined) endNote(tuner, atMs, ringing, out);

  if (tuner.strike !== undefined && !isJoined(tuner, tuner.strike, atMs)) closeStrike(tuner, atMs, out);
  if (tuner.strike === undefined) {
    tuner.strike = {
      atMs,
      lastMs: atMs,
      isWaiting: false,
      homingCause: toHomingCause(tuner),
      struck: 0,
      tied: tuner.notes.length,
      members: [],
      returns: [],
      background: undefined,
      leaving: new Set(),
      marked: [],
      without: undefined,
    };
    tuner.offset.strikeBaseCents = tuner.offset.cents;
    if (tuner.settings.strategy === 'temper') for (const tied of tuner.notes) tieNote(tuner, tied);
  }
  tuner.strike.lastMs = atMs;
  tuner.strike.struck += 1;
  const note: SoundingNote = {
    id: tuner.nextId++,
    part,
    finger,
    key,
    keyClass: key % 12,
    struckMs: atMs,
    velocity,
    releaseVelocity: NO_VELOCITY,
    point: UNISON,
    deviationCents: 0,
    frame: UNISON,
    lagCents: 0,
    lagFromCents: 0,
    leanCents: 0,
    tiedCents: 0,
    settled: false,
    keyDown: true,
    sostenuto: false,
    releasedMs: Infinity,
    harmonic: false,
    reasonSource: undefined,
    impurityCentSeconds: 0,
    reportedCents: Number.NaN,
    fixedCents,
  };
  tuner.notes.push(note);
  addToSlot(tuner, note);
  tuner.strike.members.push(note);
  if (fixedCents !== undefined) tuner.fixed.add(note);
  placeStrike(tuner, atMs);
  note.reportedCents = toSoundingCents(tuner, note);
  out.start(atMs, note, note.reportedCents);
  reportStrike(tuner, atMs, out);
}

/** A chord is rolled with less than this many strike windows between notes; a strike lasts at most this many. */
const ROLL = 1.5;
const LONGEST_STRIKE = 5;

/** Whether a note belongs to the open strike: soon after its last note, or a little later if all of it still sounds. */
function isJoined(
  { settings }: Tuner,
  { atMs: firstMs, lastMs, members }: OpenStrike,
  atMs: number,
): boolean {
  const { strikeWindowMs } = settings;
  if (atMs >= firstMs + LONGEST_STRIKE * strikeWindowMs) return false;
  if (atMs < lastMs + strikeWindowMs) return true;
  return atMs < lastMs + ROLL * strikeWindowMs && members.every(({ keyDown }) => keyDown);
}

function toHomingCause({ fresh, homing }: Tuner): 'first strike' | 'home' | undefined {
  if (fresh) return 'first strike';
  return homing ? 'home' : undefined;
}

/** A key comes up: the note ends unless a pedal holds it. */
export function releaseNote(
  tuner: Tuner,
  atMs: number,
  note: SoundingNote,
  velocity: number,
  out: TunerOut,
): void {
  note.releaseVelocity = velocity;
  const isMissed = liftKey(tuner, note, atMs, out);
  if (!isPedalled(tuner, note)) endNote(tuner, atMs, note, out, isMissed);
  else if (isMissed) placeWithout(tuner, note, atMs, out);
}

/** Ends every note of a part. */
export function silence(tuner: Tuner, atMs: number, part: number, out: TunerOut): void {
  for (const note of notesOf(tuner, part)) {
    if (note.keyDown) liftKey(tuner, note, atMs, out);
    endNote(tuner, atMs, note, out);
  }
}

/** Marks the key up and reports it. @returns whether its point counts otherwise for the open strike now */
function liftKey(tuner: Tuner, note: SoundingNote, atMs: number, out: TunerOut): boolean {
  note.keyDown = false;
  note.releasedMs = atMs;
  let isMissed = false;
  if (note.settled) {
    learnTouch(tuner, note, atMs);
    touchOf(tuner, note.part).held.delete(note);
    isMissed = tuner.sounding.lift(note, atMs, tuner.strike?.leaving.has(note) === true);
  }
  out.release(atMs, note);
  return isMissed;
}

/** Ends a note and remembers it. @param isMissed whether its point already counts otherwise for the open strike */
function endNote(tuner: Tuner, atMs: number, note: SoundingNote, out: TunerOut, isMissed = false): void {
  const wasSettled = note.settled;
  if (!wasSettled) settleNote(tuner, note, out);
  enterEnded(tuner.ledger, note, tuner.offset.cents + note.lagCents);
  const isGone = tuner.sounding.remove(note);
  removeNote(tuner, note);
  tuner.fixed.delete(note);
  remember(tuner.memory, note.keyClass, note.key, toRemembered(note), atMs);
  if (note.lagCents !== 0 && note.impurityCentSeconds >= LEAST_IMPURITY && leavesImpure(tuner.settings)) {
    const { id: noteId, part, key, lagCents: cents, impurityCentSeconds: centSeconds } = note;
    out.enter({
      kind: 'impurity',
      atMs: note.struckMs,
      untilMs: atMs,
      noteId,
      part,
      key,
      cents,
      centSeconds,
    });
  }
  out.end(atMs, note);
  if (tuner.notes.length === 0) {
    tuner.offset.glideFromMs = -Infinity;
    tuner.offset.lagCents = 0;
    closePull(tuner, atMs, out);
  }
  if (tuner.strike === undefined) return;
  if (tuner.strike.members.every(isSettled)) closeStrike(tuner, atMs, out);
  else if (wasSettled && (isMissed || isGone || note.fixedCents !== undefined))
    placeWithout(tuner, note, atMs, out);
}

function isSettled({ settled }: SoundingNote): boolean {
  return settled;
}

/** Removes a note in place; notes stay in the order they were struck. */
function removeNote({ notes, byKey }: Tuner, note: SoundingNote): void {
  let low = 0;
  let high = notes.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (notes[middle].id < note.id) low = middle + 1;
    else high = middle;
  }
  notes.splice(low, 1);
  const slot = toSlot(note.part, note.key);
  const same = byKey.get(slot)!;
  if (same.length === 1) byKey.delete(slot);
  else same.splice(same.indexOf(note), 1);
}

/** Moves a pedal; when it comes up, the notes it alone held end. */
export function movePedal(
  tuner: Tuner,
  atMs: number,
  part: number,
  pedal: Pedal,
  down: boolean,
  out: TunerOut,
): void {
  const pedals = pedalsOf(tuner, part);
  if (pedals[pedal] === down) return;
  pedals[pedal] = down;
  if (down && pedal !== 'sostenuto') return;
  const notes = notesOf(tuner, part);
  if (pedal === 'sostenuto') {
    for (const note of notes) note.sostenuto = down && note.keyDown;
    if (down) return;
  }
  for (const note of notes) if (!note.keyDown && !isPedalled(tuner, note)) endNote(tuner, atMs, note, out);
}

function pedalsOf(tuner: Tuner, part: number): Pedals {
  let pedals = tuner.pedals.get(part);
  if (pedals === undefined) {
    pedals = { sustain: false, sostenuto: false, hold2: false };
    tuner.pedals.set(part, pedals);
  }
  return pedals;
}

function isPedalled(tuner: Tuner, note: SoundingNote): boolean {
  const { sustain, hold2 } = pedalsOf(tuner, note.part);
  return note.sostenuto || sustain || hold2;
}
