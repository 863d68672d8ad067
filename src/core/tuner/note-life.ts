import { UNISON } from '../theory/index.js';
import type { Pedal, TunerOut } from './events.js';
import { bookEnded } from './ledger.js';
import { remember } from './memory.js';
import type { SoundingNote } from './note.js';
import { leavesImpure } from './settings.js';
import { closePull, closeStrike, settleNote, tieNote } from './settling.js';
import { placeStrike } from './strike.js';
import { findNote, notesOf, type Pedals, reportMoves, type Tuner, toSoundingCents } from './tuner.js';

/** Less impurity than this, in cent-seconds, is only summed up and has no entry of its own. */
const LEAST_IMPURITY = 0.001;

/** A key goes down: the strike it belongs to is placed again with it, and it starts. */
export function startNote(tuner: Tuner, atMs: number, part: number, key: number, out: TunerOut): void {
  // The same string struck again: what the pedal still held of it is over.
  const ringing = findNote(tuner, part, key, false);
  if (ringing !== undefined) endNote(tuner, atMs, ringing, out);

  if (tuner.strike === undefined) {
    const tied = tuner.notes.length;
    tuner.strike = {
      atMs,
      anew: toAnew(tuner),
      struck: 0,
      tied,
      members: [],
      background: undefined,
    };
    tuner.scene.isHeard = false;
    tuner.offset.strikeBaseCents = tuner.offset.cents;
    for (const tied of tuner.notes) tieNote(tuner, tied);
  }
  tuner.strike.struck += 1;
  const note: SoundingNote = {
    id: tuner.nextId++,
    part,
    key,
    keyClass: key % 12,
    struckMs: atMs,
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
    explanation: undefined,
    impurityCentSeconds: 0,
    reportedCents: Number.NaN,
  };
  tuner.notes.push(note);
  tuner.strike.members.push(note);
  placeStrike(tuner, atMs);
  note.reportedCents = toSoundingCents(tuner, note);
  out.start(atMs, note, note.reportedCents);
  reportMoves(tuner, atMs, out);
}

function toAnew({ fresh, homing }: Tuner): 'first strike' | 'home' | undefined {
  if (fresh) return 'first strike';
  return homing ? 'home' : undefined;
}

/** A key comes up: the note ends unless a pedal holds it. */
export function releaseNote(tuner: Tuner, atMs: number, note: SoundingNote, out: TunerOut): void {
  liftKey(note, atMs, out);
  if (!isPedalled(tuner, note)) endNote(tuner, atMs, note, out);
}

/** Marks the key up and says so. */
export function liftKey(note: SoundingNote, atMs: number, out: TunerOut): void {
  note.keyDown = false;
  note.releasedMs = atMs;
  out.release(atMs, note);
}

/** A note falls silent and becomes a memory. */
export function endNote(tuner: Tuner, atMs: number, note: SoundingNote, out: TunerOut): void {
  const wasSettled = note.settled;
  if (!wasSettled) settleNote(tuner, note, out);
  bookEnded(tuner.ledger, note, tuner.offset.cents + note.lagCents);
  removeNote(tuner.notes, note);
  remember(tuner.memory, note.keyClass, note.key, note.frame, atMs);
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
  tuner.scene.isHeard = false;
  out.end(atMs, note);
  if (tuner.notes.length === 0) {
    tuner.offset.glideFromMs = -Infinity;
    closePull(tuner, atMs, out);
  }
  if (tuner.notes.every(isSettled)) {
    closeStrike(tuner, atMs, out);
  } else if (wasSettled) {
    // A finger lifted late from the old chord: the new one is placed again without it.
    placeStrike(tuner, atMs);
    reportMoves(tuner, atMs, out);
  }
}

function isSettled({ settled }: SoundingNote): boolean {
  return settled;
}

/** Takes a note out and keeps the order of the rest. */
function removeNote(notes: SoundingNote[], note: SoundingNote): void {
  for (let at = notes.indexOf(note); at < notes.length - 1; at++) notes[at] = notes[at + 1];
  notes.pop();
}

/** A pedal moves; when it comes up, what it alone held ends. */
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
  const notes = notesOf(tuner, part);
  if (pedal === 'sostenuto') {
    for (const note of notes) note.sostenuto = down && note.keyDown;
  }
  if (down) return;
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
