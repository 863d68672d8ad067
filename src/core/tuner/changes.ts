import {
  divide,
  type PrimeVector,
  type Tonic,
  toDeviationCents,
  toFifths,
  withKeys,
} from '../theory/index.js';
import { beginGlide, toReturnCents } from './common-offset.js';
import { beginDrift } from './drift-steps.js';
import type { TunerOut } from './events.js';
import { createLedger, enterSettled } from './ledger.js';
import { createMemory } from './memory.js';
import type { Reason, SoundingNote } from './note.js';
import { pinFixed } from './partner.js';
import { reasonOf } from './reason.js';
import type { TunerSettings } from './settings.js';
import { closePull, closeStrike } from './settling.js';
import { toSoundingPoints } from './sounding-points.js';
import { createTuner, type Tuner, toMeanFromHome, toOriginKey, toSoundingCents } from './tuner.js';

/**
 * Changes the settings. What sounds continues: the next strike is placed by the new settings, and where the pitch of A or
 * the primes ask another pitch of sounding notes, they glide there; a pull begins at once, and tempered harmony glides
 * into tune. An open strike settles where it is.
 *
 * Memory, offset and ledger continue. Another tonic gives every point another ratio, and moves nothing. The 3-limit has no
 * place for thirds of 5/4, so there memory, ledger and drift begin again, with the sounding notes on the places of their
 * names.
 *
 * What a knob turns may change a hundred times a second: leeway, rate, recall, the pitch of A. Where nothing else changes,
 * an open strike and a run of the pull go on. The very same settings again end both.
 */
export function changeSettings(tuner: Tuner, settings: TunerSettings, atMs: number, out: TunerOut): void {
  const before = tuner.settings;
  const isGradual = before !== settings && toOthers(before) === toOthers(settings);
  if (!isGradual) {
    closePull(tuner, atMs, out);
    closeStrike(tuner, atMs, out);
  }
  if (before.strategy === 'temper' && settings.strategy !== 'temper') untemper(tuner, settings, atMs);
  if (!isSameTonic(before.home.tonic, settings.home.tonic)) moveOrigin(tuner, settings.home.tonic);
  const pitches = tuner.notes.map((note) => toSoundingCents(tuner, note));
  Object.assign(tuner, { settings });
  if (!isGradual || before.recallCents !== settings.recallCents) {
    const { chooser, scene, seeds } = createTuner(settings);
    Object.assign(tuner, { chooser, scene, seeds });
  }
  if (settings.limit === 3 && before.limit !== 3) leaveThirds(tuner);

  const lowered = before.referenceCents - settings.referenceCents;
  if (lowered !== 0 && settings.held === 'follow') tuner.offset.lagCents += lowered;
  glideFrom(tuner, pitches, atMs);
  pinFixed(tuner, []);
  // A wider leeway may leave the pull nothing to do: no step of it would end the run.
  if (toReturnCents(toMeanFromHome(tuner), settings.leewayCents) === 0) closePull(tuner, atMs, out);
}

/** Everything but what changes gradually, to be compared: settings that were sent to another thread are copies. */
function toOthers(settings: TunerSettings): string {
  const { leewayCents: _leeway, rateCentsPerSecond: _rate, recallCents: _recall, ...others } = settings;
  return JSON.stringify({ ...others, referenceCents: 0 });
}

function isSameTonic(a: Tonic, b: Tonic): boolean {
  return a.keyClass === b.keyClass && a.fifths === b.fifths;
}

/** Counts every point from another tonic, and the common offset from where that is: no pitch changes. */
function moveOrigin(tuner: Tuner, tonic: Tonic): void {
  const { notes, memory, ledger, offset } = tuner;
  const originKey = toOriginKey(tonic);
  const shift = withKeys(findPlace(tuner, tonic.keyClass), originKey - tuner.originKey);
  const cents = toDeviationCents(shift);
  const move = (point: PrimeVector) => divide(point, shift);
  giveReasons(notes, (reason) => moveReason(reason, move));
  for (const note of notes) {
    note.point = move(note.point);
    note.frame = move(note.frame);
    note.deviationCents = toDeviationCents(note.point);
  }
  memory.forEach((one, keyClass) => {
    if (one !== undefined) memory[keyClass] = { ...one, point: move(one.point) };
  });
  ledger.accounts.forEach((account, keyClass) => {
    if (account === undefined) return;
    ledger.accounts[keyClass] = {
      ...account,
      firstPoint: move(account.firstPoint),
      firstOffsetCents: account.firstOffsetCents + cents,
      lastPoint: move(account.lastPoint),
      lastOffsetCents: account.lastOffsetCents + cents,
    };
  });
  ledger.drift.references.forEach((point, keyClass) => {
    if (point !== undefined) ledger.drift.references[keyClass] = move(point);
  });
  ledger.drift.fromCents += cents;
  offset.cents += cents;
  ledger.movedCents += cents;
  // The tonic may be spelled as another name of its key.
  tuner.fifthsMean += tonic.fifths - tuner.settings.home.tonic.fifths - toFifths(shift);
  Object.assign(tuner, { originKey, sounding: toSoundingPoints(notes) });
}

/** Where a key class is: as it sounds, as it sounded last, or where it would begin. */
function findPlace({ notes, memory, seeds }: Tuner, keyClass: number): PrimeVector {
  const sounding = notes.find((note) => note.keyClass === keyClass);
  return sounding?.frame ?? memory[keyClass]?.point ?? seeds[keyClass];
}

function moveReason(reason: Reason, move: (point: PrimeVector) => PrimeVector): Reason {
  const { deciderPoint, presence, without } = reason;
  if (presence === 'first') return reason;
  const late = without && { ...without, point: move(without.point) };
  return { ...reason, deciderPoint: move(deciderPoint), without: late };
}

/** Reasons as they are before the points change that they were worked out from. */
function giveReasons(notes: readonly SoundingNote[], change: (reason: Reason) => Reason): void {
  const reasons = notes.map((note) => change(reasonOf(note)));
  notes.forEach((note, i) => {
    note.reasonSource = { reason: reasons[i] };
  });
}

/** Puts what sounds on the places of the 3-limit that its names have, and begins memory and ledger again. */
function leaveThirds(tuner: Tuner): void {
  const { notes, originKey, offset } = tuner;
  const ledger = createLedger();
  giveReasons(notes, (reason) => reason);
  for (const note of notes) {
    note.frame = withKeys([0, toFifths(note.frame), 0, 0, 0, 0], note.key - originKey);
    note.point = note.frame;
    note.deviationCents = toDeviationCents(note.point);
    note.harmonic = false;
    enterSettled(ledger, note, offset.cents + note.lagCents);
  }
  ledger.movedCents = offset.cents;
  Object.assign(tuner, { ledger, memory: createMemory(), sounding: toSoundingPoints(notes) });
  beginDrift(tuner);
}

/** Lets sounding notes glide from the pitches they had, or keep them where held notes stay. */
function glideFrom(tuner: Tuner, pitches: readonly number[], atMs: number): void {
  const { notes, offset, settings } = tuner;
  const behind = notes.map((note, i) => pitches[i] - toSoundingCents(tuner, note));
  if (behind.every((cents) => Math.abs(cents) < 1e-9)) return;
  notes.forEach((note, i) => {
    note.lagCents += behind[i];
    if (settings.held === 'follow') return;
    note.leanCents += behind[i];
    note.lagFromCents += behind[i];
  });
  tuner.isLagging = true;
  if (settings.held === 'follow') beginGlide(offset, notes, settings.glideMs, atMs);
}

/** Leans glide into tune, unless held notes keep their pitch. */
function untemper({ notes, offset }: Tuner, { held, glideMs }: TunerSettings, atMs: number): void {
  if (held === 'stay') return;
  for (const note of notes) note.leanCents = 0;
  if (notes.some((note) => note.lagCents !== 0)) beginGlide(offset, notes, glideMs, atMs);
}

/** Resets the tuner; pedals stay down, time and note numbers continue. */
export function restart(tuner: Tuner): void {
  const { settings, nowMs, nextId, pedals } = tuner;
  Object.assign(tuner, createTuner(settings, undefined, nextId), { nowMs, pedals });
}
