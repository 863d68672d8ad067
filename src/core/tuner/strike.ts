import { type PrimeVector, sameClass, toDeviationCents, UNISON, withKeys } from '../theory/index.js';
import { MAX_CANDIDATES } from './candidates.js';
import { moveOffset, toBodyCents, toReturnCents } from './common-offset.js';
import type { Guide } from './guide.js';
import { findSevenths, inflectHarmonicChord } from './harmonic-chord.js';
import { hearScene, toWeight } from './hear-scene.js';
import { bookMove } from './ledger.js';
import type { SoundingNote } from './note.js';
import type { PairCost } from './pair-cost.js';
import type { Scene } from './scene.js';
import { temperStrike } from './tempering.js';
import type { OpenStrike, Tuner } from './tuner.js';
import { toRecallWeight } from './weights.js';

/** A memory fainter than this no longer speaks against a tied note. */
const FAINT = 0.01;
/** A pedalled note fainter than this no longer belongs to the chord that sounds. */
const FAINT_PEDAL = 0.2;

/** Places every note of the open strike that isn't settled, jointly, then the offset. There is at least one. */
export function placeStrike(tuner: Tuner, atMs: number): void {
  const strike = tuner.strike!;
  const { guide, scene, settings } = tuner;
  if (!scene.isHeard) hearScene(tuner, strike);
  if (guide === undefined || !placeByGuide(tuner, guide)) choosePoints(tuner, atMs);
  if (settings.strategy === 'temper') temperStrike(tuner, strike, atMs);
  else placeOffset(tuner, strike, atMs);
}

/** The live rule: what is best now, going by what was heard so far. */
function choosePoints(tuner: Tuner, atMs: number): void {
  const { notes, scene, settings, originKey } = tuner;
  const { rankings, jointChoice } = scene;
  choose(tuner);
  for (const note of notes) {
    if (note.settled) continue;
    const at = jointChoice.chosen[note.keyClass];
    const point = rankings.pointAt(at);
    note.harmonic = false;
    // Revised to where it stands already: by far the commonest case.
    if (note.point === note.frame && note.point !== UNISON && sameClass(note.point, point)) continue;
    note.frame = withKeys(point, note.key - originKey);
    note.point = note.frame;
    note.deviationCents = rankings.deviationCents[at];
  }
  if (settings.limit >= 7) inflect(tuner, atMs);
}

/** @returns whether the guide knew every note struck: a strike isn't divided between two deciders. */
function placeByGuide({ notes, originKey }: Tuner, guide: Guide): boolean {
  const struck = toStruck(notes);
  if (!struck.every(({ id }) => guide.frameOf(id) !== undefined)) return false;
  for (const note of struck) {
    const keys = note.key - originKey;
    const frame = guide.frameOf(note.id)!;
    const point = guide.pointOf(note.id) ?? frame;
    note.frame = withKeys(frame, keys);
    place(note, sameClass(point, frame) ? note.frame : withKeys(point, keys));
  }
  return true;
}

function place(note: SoundingNote, point: PrimeVector): void {
  note.point = point;
  note.deviationCents = toDeviationCents(point);
}

/** Chooses a place for each key class struck. */
function choose({ notes, scene, settings, seeds, chooser }: Tuner): void {
  const { struck, rankings, jointChoice } = scene;
  const sevenths = findSevenths(notes, settings.limit);
  struck.count(notes, sevenths);
  if (scene.isEmpty) hearHome(scene, seeds);
  for (let i = 0; i < struck.size; i++) rankings.rank(struck.classes[i]);
  if (struck.size > 0) jointChoice.choose(struck, scene.isAnchored ? scene.anchorCost : undefined);
  for (const keyClass of sevenths) {
    rankings.rank(keyClass);
    jointChoice.chosen[keyClass] = chooseBeside(scene, chooser.pairCost, keyClass);
  }
}

/** Where a seventh goes that will be inflected: beside the rest of its chord, which stands already. */
function chooseBeside(
  { struck, rankings, jointChoice }: Scene,
  pairCost: PairCost,
  keyClass: number,
): number {
  const first = keyClass * MAX_CANDIDATES;
  let best = first;
  let least = Infinity;
  for (let at = first; at < first + rankings.sizes[keyClass]; at++) {
    let sum = rankings.costs[at];
    for (let i = 0; i < struck.size; i++) {
      const other = jointChoice.chosen[struck.classes[i]];
      sum += pairCost.between(rankings.pointAt(at), rankings.pointAt(other));
    }
    if (sum >= least) continue;
    best = at;
    least = sum;
  }
  return best;
}

/** Nothing was ever heard: the candidates are those around home, for whatever is struck. */
function hearHome({ struck, surroundings, rankings }: Scene, seeds: readonly PrimeVector[]): void {
  surroundings.begin();
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    if (struck.counts[keyClass] > 0) surroundings.hear(seeds[keyClass], keyClass, 0);
  }
  surroundings.end();
  rankings.clear();
}

function inflect(tuner: Tuner, atMs: number): void {
  const { notes, settings, originKey } = tuner;
  const isFaint = (note: SoundingNote) =>
    !note.keyDown && toWeight(settings.weights, note, atMs) <= FAINT_PEDAL;
  const chord = notes.some(isFaint) ? notes.filter((note) => !isFaint(note)) : notes;
  inflectHarmonicChord(chord, settings.limit, () => isForgotten(tuner), {
    inflect: (note, point) => place(note, withKeys(point, note.key - originKey)),
    place: (note, point) => {
      note.frame = withKeys(point, note.key - originKey);
      place(note, note.frame);
    },
  });
}

/** Whether nothing that was heard before the strike still speaks against a tied note. */
function isForgotten({ memory, settings, strike }: Tuner): boolean {
  return memory.every((one) => {
    if (one === undefined) return true;
    return toRecallWeight(settings.weights, (strike!.atMs - one.endedMs) / 1000) < FAINT;
  });
}

/** Puts the common offset where the strategy wants it for this strike, starting from where it stood before it. */
function placeOffset(tuner: Tuner, strike: OpenStrike, atMs: number): void {
  const { settings, offset, notes, guide } = tuner;
  let wanted = offset.strikeBaseCents;
  const planned = guide?.offsetOf(notes.find((note) => !note.settled)!.id);
  if (planned !== undefined) {
    wanted = planned;
  } else if (strike.anew !== undefined) {
    wanted = -toBodyCents(toStruck(notes), settings, 0);
  } else if (settings.strategy === 'anchored' && !tuner.driftHeld) {
    // With held notes staying only the new ones can be brought home.
    const body = settings.held === 'follow' ? notes : toStruck(notes);
    wanted += toReturnCents(toBodyCents(body, settings, wanted), settings.leewayCents);
  } else {
    return;
  }
  const cents = wanted - offset.cents;
  if (cents === 0) return;
  moveOffset(offset, notes, settings, cents, atMs);
  bookMove(tuner.ledger, cents);
}

function toStruck(notes: readonly SoundingNote[]): SoundingNote[] {
  return notes.filter((note) => !note.settled);
}
