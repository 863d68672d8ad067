import { type PrimeLimit, type PrimeVector, ratio, toDeviationCents } from '../theory/index.js';
import { beginGlide } from './common-offset.js';
import { enterMove } from './ledger.js';
import type { SoundingNote } from './note.js';
import { type Spring, settleSprings, type Tie } from './springs.js';
import type { OpenStrike, Tuner } from './tuner.js';

/** Weight of a tied note's pitch: as much as an interval's. With `held: stay` it doesn't move at all. */
const TIED = 1;
const RIGID = 1e6;
/** Weight of home for the mean: enough to stop drift, too little to move tied notes much. */
const HOME = 1;
/** Weight of home against a pitch just heard, which has 1, and how long until that fades to 1/e. */
const HOME_TO_RECALL = 2;
const RECALL_SECONDS = 4;
/** Smaller leans are rounding: pure. */
const ROUNDING = 1e-6;

/** Of seconds, thirds and fourths; a tritone may be what the rest makes of it. */
const WANTED = toWanted(['1/1', '16/15', '9/8', '6/5', '5/4', '4/3']);
const WANTED_OF_FIFTHS = toWanted(['1/1', '256/243', '9/8', '32/27', '81/64', '4/3']);

/**
 * Tempers a strike. Where the chosen ratios don't all fit, or only by moving a tied note, weighted least squares share
 * the error among all that sounds. Each pair of key classes is a spring of its just size, each tied note one to its own
 * pitch, home one to the mean.
 *
 * The common offset takes the move of the mean. The rest of each note's move is its lean: new notes take it at once,
 * tied notes glide to it. Doubled notes and the order of the fingers don't matter.
 *
 * @see the quadratic problem of adaptive tuning as K. Stange, C. Wick and H. Hinrichsen pose it, Computer Music Journal
 *   42(3), 2018: only its general form is used here
 */
export function temperStrike(tuner: Tuner, strike: OpenStrike, atMs: number): void {
  const { notes, settings, offset } = tuner;
  const classes = toClasses(notes);
  const springs = toSprings(classes, settings.limit);
  const ties =
    strike.homingCause === undefined ? toTies(classes, settings.held === 'stay' ? RIGID : TIED) : [];
  const level = toLevel(tuner, strike, classes);
  let pitches = settleSprings(classes.length, springs, ties, level);
  const recalled =
    strike.homingCause === undefined ? toRecalledMove(tuner, classes, pitches, strike.atMs) : 0;
  if (recalled !== 0) {
    const mean = pitches.reduce((total, cents) => total + cents, 0) / classes.length;
    pitches = settleSprings(classes.length, springs, ties, { ...level, cents: mean + recalled });
  }

  let sum = 0;
  for (const { notes: same, index } of classes) {
    for (const note of same) sum += pitches[index] - note.deviationCents;
  }
  const moved = sum / notes.length - offset.cents;
  offset.cents += moved;
  enterMove(tuner.ledger, moved);
  for (const { notes: same, index } of classes) {
    for (const note of same) {
      const pitch = note.deviationCents + (offset.cents - moved) + note.lagCents;
      const lean = pitches[index] - note.deviationCents - offset.cents;
      note.leanCents = Math.abs(lean) < ROUNDING ? 0 : lean;
      note.lagCents = note.settled ? pitch - note.deviationCents - offset.cents : note.leanCents;
      note.lagFromCents = note.lagCents;
      if (!note.settled) continue;
      if (settings.held === 'stay' && strike.homingCause === undefined) note.leanCents = note.lagCents;
      else if (note.lagCents !== note.leanCents) {
        offset.glideFromMs = atMs;
        offset.lastGlideMs = atMs;
        offset.glideMs = settings.glideMs;
      }
    }
  }
}

/**
 * Ends the leans of tempered harmony, as a note begins to sound that can't be tuned: from here on all else is pure to it.
 * Tied notes glide there, or stay where they are.
 */
export function endLeans({ notes, settings, offset }: Tuner, atMs: number): void {
  if (settings.held === 'stay') return;
  let isLeaning = false;
  for (const note of notes) {
    if (!note.settled || note.leanCents === 0 || note.fixedCents !== undefined) continue;
    note.leanCents = 0;
    isLeaning = true;
  }
  if (isLeaning) beginGlide(offset, notes, settings.glideMs, atMs);
}

/** The notes of one key class, and its place among all that sound. */
interface SoundingClass {
  readonly index: number;
  readonly keyClass: number;
  readonly notes: readonly SoundingNote[];
}

/**
 * By number, not by order of arrival: where only `HAIR` decides (see `settleSprings`), the last float would depend on
 * it.
 */
function toClasses(notes: readonly SoundingNote[]): SoundingClass[] {
  const classes: SoundingClass[] = [];
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const same = notes.filter((note) => note.keyClass === keyClass);
    if (same.length > 0) classes.push({ index: classes.length, keyClass, notes: same });
  }
  return classes;
}

function toSprings(classes: readonly SoundingClass[], limit: PrimeLimit): Spring[] {
  const table = limit === 3 ? WANTED_OF_FIFTHS : WANTED;
  const springs: Spring[] = [];
  for (const from of classes) {
    for (const to of classes) {
      if (to.index <= from.index) continue;
      const [a, b] = [from.notes[0], to.notes[0]];
      const cents =
        isInflected(a.point) || isInflected(b.point)
          ? b.deviationCents - a.deviationCents
          : table[(to.keyClass - from.keyClass + 12) % 12];
      if (cents !== undefined) springs.push({ from: from.index, to: to.index, cents, weight: 1 });
    }
  }
  return springs;
}

/** Primes above 5 enter in whole chords; there the chosen ratios are the wanted ones. */
function isInflected(point: PrimeVector): boolean {
  return point[3] !== 0 || point[4] !== 0 || point[5] !== 0;
}

function toTies(classes: readonly SoundingClass[], weight: number): Tie[] {
  const ties: Tie[] = [];
  for (const { index, notes } of classes) {
    const tied = notes.find((note) => note.settled);
    if (tied !== undefined) ties.push({ at: index, cents: tied.tiedCents, weight });
  }
  return ties;
}

/** Home, unless the drift is held: then the mean as it would be by itself. */
function toLevel(tuner: Tuner, strike: OpenStrike, classes: readonly SoundingClass[]) {
  const { settings, offset, driftHeld } = tuner;
  const stays = driftHeld && strike.homingCause === undefined;
  let sum = 0;
  for (const { keyClass, notes } of classes) {
    sum += stays ? notes[0].deviationCents + offset.strikeBaseCents : settings.home.deviationCents[keyClass];
  }
  return { cents: sum / classes.length, weight: stays ? 1 / RIGID : HOME };
}

/**
 * How far the mean should move so that key classes come back near their last pitches: a compromise between home and
 * those that aren't tied, fading with time. It moves the mean alone, so a chord keeps its shape whatever came before.
 */
function toRecalledMove(
  tuner: Tuner,
  classes: readonly SoundingClass[],
  pitches: Float64Array,
  atMs: number,
): number {
  let [pull, weights] = [0, HOME_TO_RECALL];
  for (const { index, keyClass, notes } of classes) {
    const [account, memory] = [tuner.ledger.accounts[keyClass], tuner.memory[keyClass]];
    if (account === undefined || memory === undefined || notes.some((note) => note.settled)) continue;
    const weight = Math.exp((memory.endedMs - atMs) / 1000 / RECALL_SECONDS);
    pull += weight * (account.lastPitchCents - pitches[index]);
    weights += weight;
  }
  return pull / weights;
}

/** The sizes wanted of each number of keys 0..11, as cents off 12 equal, from those of the first six. */
function toWanted(ratios: readonly string[]): readonly (number | undefined)[] {
  const sizes = ratios.map((text) => toDeviationCents(ratio(text)));
  return Array.from({ length: 12 }, (_, keys) =>
    keys < 6 ? sizes[keys] : keys > 6 ? -sizes[12 - keys] : undefined,
  );
}
