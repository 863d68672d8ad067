import { type PrimeVector, toDeviationCents, UNISON, withKeys } from '../theory/index.js';
import { moveOffset, toBodyCents, toReturnCents } from './common-offset.js';
import { inflectHarmonicChord } from './harmonic-chord.js';
import { type ContextPoint, chooseJointly, type LastPlace } from './joint-choice.js';
import { bookMove } from './ledger.js';
import type { SoundingNote } from './note.js';
import { type Decider, explainStrike } from './reason.js';
import type { Tuner } from './tuner.js';

/** A memory fainter than this no longer speaks against a tied note. */
const FAINT = 0.01;
/** A pedalled note fainter than this no longer belongs to the chord that sounds. */
const FAINT_PEDAL = 0.2;

/** Places every note that isn't settled, jointly, then the offset. */
export function placeStrike(tuner: Tuner, atMs: number): void {
  const struck = tuner.notes.filter((note) => !note.settled);
  const points = chooseFor(tuner, struck, atMs);
  for (const note of struck) {
    const point = withKeys(points[note.keyClass] ?? UNISON, note.key - tuner.originKey);
    note.frame = point;
    note.harmonic = false;
    place(note, point);
  }
  if (tuner.settings.limit >= 7) inflect(tuner, atMs);
  explainStrike(struck, decidersOf(tuner, atMs), tuner.chooser.pairCost);
  placeOffset(tuner, struck, atMs);
}

function place(note: SoundingNote, point: PrimeVector): void {
  note.point = point;
  note.deviationCents = toDeviationCents(point);
}

/** Chooses a point for each key class struck; index 0..11. */
function chooseFor(tuner: Tuner, struck: readonly SoundingNote[], atMs: number): (PrimeVector | undefined)[] {
  const counts = new Array<number>(12).fill(0);
  for (const note of struck) counts[note.keyClass] += 1;
  const classes: number[] = [];
  for (let keyClass = 0; keyClass < 12; keyClass++) if (counts[keyClass] > 0) classes.push(keyClass);

  const { context, last } = hearContext(tuner, classes, atMs);
  const { settings } = tuner;
  const chosen = chooseJointly(tuner.chooser, {
    classes,
    counts: classes.map((keyClass) => counts[keyClass]),
    context,
    last,
    fifthsMean: tuner.fifthsMean - settings.home.tonic.fifths,
    offsetCents: tuner.offset.strikeBaseCents,
    homeLean: settings.strategy === 'free' ? 0 : settings.weights.homeLean,
  });
  const points = new Array<PrimeVector | undefined>(12).fill(undefined);
  for (let i = 0; i < classes.length; i++) points[classes[i]] = chosen[i];
  return points;
}

/** What the new notes are measured against: settled notes that sound, and what is remembered of silent key classes. */
function hearContext(
  tuner: Tuner,
  classes: readonly number[],
  atMs: number,
): { context: ContextPoint[]; last: (LastPlace | undefined)[] } {
  const { notes, memory, settings } = tuner;
  const context: ContextPoint[] = [];
  const last = new Array<LastPlace | undefined>(12).fill(undefined);
  for (const note of notes) {
    if (!note.settled) continue;
    context.push({ point: note.point, keyClass: note.keyClass, weight: weightOf(tuner, note, atMs) });
    const ageSeconds = note.keyDown ? 0 : (atMs - note.releasedMs) / 1000;
    last[note.keyClass] = { point: note.point, ageSeconds };
  }
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const slot = memory[keyClass];
    if (slot === undefined || last[keyClass] !== undefined) continue;
    const ageSeconds = (atMs - slot.endedMs) / 1000;
    last[keyClass] = { point: slot.point, ageSeconds };
    const weight = settings.weights.recall * Math.exp(-ageSeconds / settings.weights.recallSeconds);
    context.push({ point: slot.point, keyClass, weight });
  }
  // Nothing was ever heard: the candidates are those around home.
  if (context.length === 0) {
    for (const keyClass of classes)
      context.push({ point: settings.home.point(keyClass), keyClass, weight: 0 });
  }
  return { context, last };
}

function weightOf(tuner: Tuner, note: SoundingNote, atMs: number): number {
  if (note.keyDown) return 1;
  const { pedal, pedalSeconds } = tuner.settings.weights;
  return pedal * Math.exp(-(atMs - note.releasedMs) / 1000 / pedalSeconds);
}

function inflect(tuner: Tuner, atMs: number): void {
  const { recall, recallSeconds } = tuner.settings.weights;
  const alone = tuner.memory.every(
    (slot) => slot === undefined || recall * Math.exp(-(atMs - slot.endedMs) / 1000 / recallSeconds) < FAINT,
  );
  const chord = tuner.notes.filter((note) => note.keyDown || weightOf(tuner, note, atMs) > FAINT_PEDAL);
  inflectHarmonicChord(chord, tuner.settings.limit, alone, (note, point) =>
    place(note, withKeys(point, note.key - tuner.originKey)),
  );
}

function decidersOf(tuner: Tuner, atMs: number): Decider[] {
  const deciders: Decider[] = [];
  const heard = new Set<number>();
  for (const note of tuner.notes) {
    heard.add(note.keyClass);
    if (!note.settled) continue;
    const presence = note.keyDown ? 'held' : 'pedalled';
    deciders.push({ presence, key: note.key, point: note.point, weight: weightOf(tuner, note, atMs) });
  }
  const { recall, recallSeconds } = tuner.settings.weights;
  for (const slot of tuner.memory) {
    if (slot === undefined) continue;
    const weight = recall * Math.exp(-(atMs - slot.endedMs) / 1000 / recallSeconds);
    deciders.push({
      presence: 'recalled',
      key: slot.key,
      point: slot.point,
      weight: Math.max(weight, 1e-12),
    });
  }
  return deciders;
}

/** Puts the common offset where the strategy wants it for this strike, starting from where it stood before it. */
function placeOffset(tuner: Tuner, struck: readonly SoundingNote[], atMs: number): void {
  const { settings, offset, notes, strike } = tuner;
  if (strike === undefined) return;
  let wanted = offset.strikeBaseCents;
  if (strike.first) {
    wanted = -toBodyCents(struck, settings, 0);
  } else if (settings.strategy === 'anchored') {
    // With held notes staying only the new ones can be brought home.
    const body = settings.held === 'follow' ? notes : struck;
    wanted += toReturnCents(toBodyCents(body, settings, wanted), settings.leewayCents);
  } else {
    return;
  }
  const cents = wanted - offset.cents;
  if (cents === 0) return;
  moveOffset(offset, notes, settings, cents, atMs);
  bookMove(tuner.ledger, cents);
}
