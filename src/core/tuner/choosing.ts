import {
  type PrimeVector,
  sameClass,
  toDeviationCents,
  toFifths,
  toKeyClass,
  UNISON,
  withKeys,
} from '../theory/index.js';
import { toWeight } from './fill-scene.js';
import type { Guide } from './guide.js';
import { findSevenths, inflectHarmonicChord } from './harmonic-chord.js';
import type { SoundingNote } from './note.js';
import { listPlaces } from './places.js';
import type { Scene } from './scene.js';
import type { Tuner } from './tuner.js';
import { toRecallWeight } from './weights.js';

/** A memory fainter than this doesn't count against a tied note. */
const FAINT = 0.01;
/** A pedalled note fainter than this isn't part of the sounding chord. */
const FAINT_PEDAL = 0.2;
/** From the third of a chord to its seventh, on the line of fifths: E to B♭. */
const SEVENTH_FROM_THIRD = -6;

/** The live rule: the best places now for the notes of the open strike, by what the scene holds. */
export function choosePoints(tuner: Tuner, struck: readonly SoundingNote[], atMs: number): void {
  const { scene, settings, originKey } = tuner;
  choose(tuner, struck);
  for (const note of struck) {
    const point = scene.points[note.keyClass];
    note.harmonic = false;
    // Revised to its present place: by far the commonest case.
    if (note.point === note.frame && note.point !== UNISON && sameClass(note.point, point)) continue;
    note.frame = withKeys(point, note.key - originKey);
    place(note, note.frame);
  }
  if (settings.limit >= 7) inflect(tuner, atMs);
}

/** Places notes by the guide. @returns whether it knew them all: a strike isn't divided between two deciders */
export function placeByGuide({ originKey }: Tuner, guide: Guide, struck: readonly SoundingNote[]): boolean {
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

/**
 * Chooses a place for each key class struck; a seventh that will be inflected is placed beside the rest of its chord.
 */
function choose({ notes, scene, settings, seeds }: Tuner, struck: readonly SoundingNote[]): void {
  const sevenths = findSevenths(notes, settings.limit);
  scene.struck.count(struck, sevenths);
  if (scene.isEmpty) scene.surroundings.addHome(toClasses(scene), seeds);
  scene.choose();
  for (const keyClass of sevenths) scene.points[keyClass] = placeSeventh(notes, scene, keyClass);
}

function placeSeventh(notes: readonly SoundingNote[], scene: Scene, keyClass: number): PrimeVector {
  const { struck, surroundings, points } = scene;
  const { pairCost } = surroundings.chooser;
  const thirdClass = toKeyClass(keyClass + 6);
  const third = struck.counts[thirdClass] > 0 ? points[thirdClass] : pointOf(notes, thirdClass);
  const alone = { classes: [keyClass], steps: [UNISON] };
  let best = third;
  let least = Infinity;
  for (const { root, cost } of listPlaces(surroundings, alone, toFifths(third) + SEVENTH_FROM_THIRD, 1, 6)) {
    let sum = cost;
    for (let i = 0; i < struck.size; i++) sum += pairCost.between(root, points[struck.classes[i]]);
    if (sum >= least) continue;
    best = root;
    least = sum;
  }
  return best;
}

function pointOf(notes: readonly SoundingNote[], keyClass: number): PrimeVector {
  return notes.find((note) => note.keyClass === keyClass)!.point;
}

/** Every key class struck, including sevenths that will be inflected. */
function toClasses({ struck }: Scene): number[] {
  return CLASSES.filter((keyClass) => struck.counts[keyClass] > 0);
}

const CLASSES = Array.from({ length: 12 }, (_, keyClass) => keyClass);

/** Gives sevenths, elevenths and thirteenths their pure size in whole chords. */
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

/** Whether nothing heard before the strike still counts against a tied note. */
function isForgotten({ memory, settings, strike }: Tuner): boolean {
  return memory.every((one) => {
    if (one === undefined) return true;
    return toRecallWeight(settings.weights, (strike!.atMs - one.endedMs) / 1000) < FAINT;
  });
}
