import { multiply, type PrimeVector, sameClass, toDeviationCents } from '../theory/index.js';
import { createDriftLevel, type DriftLevel, findStep, takeStep } from './drift.js';
import type { TunerOut } from './events.js';
import type { SoundingNote } from './note.js';
import { reasonOf } from './reason.js';
import type { OpenStrike, Tuner } from './tuner.js';

/** Moves the drift to where the harmony is once all notes of a strike are known, and enters the step. */
export function enterDrift(
  { ledger: { drift }, notes, offset }: Tuner,
  strike: OpenStrike,
  out: TunerOut,
): void {
  const { members, atMs } = strike;
  const heard = toHeard(notes, members);
  const points = heard.map((note) => note?.point);
  const ratio = findStep(drift, points, (keyClass) => heard[keyClass]!.id >= members[0].id);
  if (ratio !== undefined) {
    const commas = multiply(drift.commas, ratio);
    const there = findThere(drift, commas, notes, members);
    const back = there.filter(({ keyClass }) =>
      strike.returns.some((one) => one.key % 12 === keyClass && sameClass(one.ratio, ratio)),
    );
    const isReturn = back.length > 0;
    const note = findLowest(isReturn ? back : there);
    const { id: noteId, part, key } = note;
    const byKey = isReturn ? toTie(note, members) : undefined;
    const cents = toDeviationCents(ratio);
    out.enter({ kind: 'drift', atMs, noteId, part, key, ratio, cents, isReturn, byKey });
  }
  takeStep(drift, points, ratio);
  if (Number.isNaN(drift.fromCents)) drift.fromCents = offset.cents;
}

/** The drift is 0 from here on: what sounds is where it counts from. */
export function beginDrift({ ledger, notes, offset }: Tuner): void {
  ledger.drift = createDriftLevel();
  if (notes.length === 0) return;
  const points = toHeard(notes, []).map((note) => note?.point);
  takeStep(ledger.drift, points, undefined);
  ledger.drift.fromCents = offset.cents;
}

/** By key class: the newest note that can be tuned of what sounds or was struck just now, however short. */
function toHeard(
  notes: readonly SoundingNote[],
  struck: readonly SoundingNote[],
): (SoundingNote | undefined)[] {
  const heard = new Array<SoundingNote | undefined>(12).fill(undefined);
  for (const note of notes) if (note.fixedCents === undefined) heard[note.keyClass] = note;
  for (const note of struck) if (note.fixedCents === undefined) heard[note.keyClass] = note;
  return heard;
}

/** The struck notes that have moved so far from their references; if there is none, the sounding ones. At least one. */
function findThere(
  { references }: DriftLevel,
  commas: PrimeVector,
  notes: readonly SoundingNote[],
  struck: readonly SoundingNote[],
): readonly SoundingNote[] {
  const isThere = ({ keyClass, fixedCents, point }: SoundingNote) => {
    const reference = references[keyClass];
    return (
      reference !== undefined && fixedCents === undefined && sameClass(point, multiply(reference, commas))
    );
  };
  const there = struck.filter(isThere);
  return there.length > 0 ? there : notes.filter(isThere);
}

function findLowest(notes: readonly SoundingNote[]): SoundingNote {
  return notes.reduce((lowest, note) => (note.key < lowest.key ? note : lowest));
}

/** The key of the note that a struck one is tuned to: one that sounded before, perhaps by way of others struck with it. */
function toTie(note: SoundingNote, struck: readonly SoundingNote[]): number | undefined {
  let { presence, deciderKey } = reasonOf(note);
  for (let left = struck.length; presence === 'together' && left > 0; left--) {
    const decider = struck.find((one) => one.key === deciderKey);
    if (decider === undefined) return undefined;
    ({ presence, deciderKey } = reasonOf(decider));
  }
  return presence === 'held' || presence === 'pedalled' ? deciderKey : undefined;
}
