import { divide, multiply, type PrimeVector, sameClass, UNISON } from '../theory/index.js';
import type { Memory } from './memory.js';
import type { Background, Decider, SoundingNote } from './note.js';
import { type SoundingPoint, type SoundingPoints, toBinding } from './sounding-points.js';
import { HELD } from './surroundings.js';
import type { OpenStrike, Tuner } from './tuner.js';
import { type ChoiceWeights, toPedalWeight, toRecallWeight } from './weights.js';

/**
 * Collects what the notes of a strike are measured against: settled sounding notes and remembered key classes, all as
 * they were when the strike began.
 */
export function fillScene(tuner: Tuner, { atMs, homingCause }: OpenStrike): void {
  const { sounding, memory, settings, scene } = tuner;
  const { surroundings } = scene;
  const level = toLevel(sounding);
  surroundings.begin();
  surroundings.level = toPlane(sounding, memory);
  scene.memoryLevel = level;
  surroundings.isAnchored =
    settings.strategy === 'anchored' && homingCause === undefined && tuner.fixed.size === 0;
  sounding.forEach((one) => {
    if (toBinding(one) === HELD) surroundings.hear(one.point, one.keyClass, 0, HELD);
  });
  sounding.forEach((one) => {
    const binding = toBinding(one);
    if (binding === HELD) return;
    const ageSeconds = one.held > 0 ? 0 : Math.max(0, atMs - one.releasedMs) / 1000;
    surroundings.hear(one.point, one.keyClass, ageSeconds, binding);
  });
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const slot = memory[keyClass];
    if (slot === undefined || surroundings.includes(keyClass)) continue;
    const ageSeconds = Math.max(0, atMs - slot.endedMs) / 1000;
    surroundings.hear(toHeard(slot.point, level, surroundings.level), keyClass, ageSeconds, 0);
  }
  surroundings.fifthsMean = tuner.fifthsMean - settings.home.tonic.fifths;
  surroundings.offsetCents = tuner.offset.strikeBaseCents;
  surroundings.homeLean = settings.strategy === 'free' ? 0 : settings.weights.homeLean;

  scene.isEmpty = surroundings.isEmpty;
  scene.isAnchored = surroundings.isAnchored && !scene.isEmpty;
  if (scene.isAnchored) scene.anchorCost.hear(tuner, atMs);
}

/** Stores what was there, so that reasons can be given later. */
export function storeBackground({ sounding, memory, settings, scene }: Tuner, atMs: number): Background {
  const { weights } = settings;
  const deciders: Decider[] = [];
  sounding.forEach(({ downKeys, upKeys, point, held, releasedMs }) => {
    const weight = held > 0 ? weights.held : toPedalWeight(weights, Math.max(0, atMs - releasedMs) / 1000);
    // Of several notes on a point, the oldest.
    const key: number = (held > 0 ? downKeys : upKeys).values().next().value!;
    deciders.push({ presence: held > 0 ? 'held' : 'pedalled', key, point, weight });
  });
  const { memoryLevel: level, surroundings } = scene;
  return { atMs, sounding: deciders, memory: memory.slice(), level, plane: surroundings.level, weights };
}

/**
 * How far the held notes are from their places without primes above 5, if they all agree. Tied notes of a chord that
 * moved to meet its seventh decide the level of what follows. Memory stores frames, and is moved to that level:
 * otherwise everything remembered would outvote one tied note.
 */
function toLevel(sounding: SoundingPoints): PrimeVector {
  let level: PrimeVector | undefined;
  let agree = true;
  sounding.forEach(({ point, frame, held }) => {
    if (held === 0) return;
    const its = toOwnLevel(point, frame);
    agree &&= level === undefined || sameClass(level, its);
    level = its;
  });
  return agree && level !== undefined ? level : UNISON;
}

/** The remembered place of a note: its point, but of an inflected seventh, eleventh or thirteenth its frame. */
export function toRemembered({ point, frame }: Readonly<SoundingNote>): PrimeVector {
  return toOwnLevel(point, frame) === UNISON ? frame : point;
}

/** The level of one point: none for an inflected seventh, eleventh or thirteenth, whose chord wasn't moved. */
function toOwnLevel(point: PrimeVector, frame: PrimeVector): PrimeVector {
  if (point === frame) return UNISON;
  const level = divide(point, frame);
  return level[3] > 0 || level[4] > 0 || level[5] > 0 ? UNISON : level;
}

/**
 * The primes above 5 of new notes: those of the latest held note, else of the latest sounding, else of the latest
 * ended. An inflected seventh, eleventh or thirteenth counts without its own.
 */
function toPlane(sounding: SoundingPoints, memory: Memory): PrimeVector {
  let latest: SoundingPoint | undefined;
  sounding.forEach((point) => {
    const isHeld = point.held > 0;
    const wasHeld = latest !== undefined && latest.held > 0;
    if (latest === undefined || (isHeld === wasHeld ? point.id > latest.id : isHeld)) latest = point;
  });
  if (latest !== undefined)
    return toOwnLevel(latest.point, latest.frame) === UNISON ? latest.frame : latest.point;
  let plane = UNISON;
  let endedMs = -Infinity;
  for (const one of memory) {
    if (one === undefined || one.endedMs < endedMs) continue;
    plane = one.point;
    endedMs = one.endedMs;
  }
  return plane;
}

/** How much a sounding note counts for a chord: fully by its key, less and less by a pedal alone. */
export function toWeight(weights: ChoiceWeights, note: SoundingNote, atMs: number): number {
  return note.keyDown ? weights.held : toPedalWeight(weights, (atMs - note.releasedMs) / 1000);
}

/** All possible deciders: sounding notes first, then the memory of each key class, also of sounding ones. */
export function toDeciders({ atMs, sounding, memory, level, plane, weights }: Background): Decider[] {
  const deciders = sounding.slice();
  for (const one of memory) {
    if (one === undefined) continue;
    const weight = toRecallWeight(weights, (atMs - one.endedMs) / 1000);
    deciders.push({ presence: 'recalled', key: one.key, point: toHeard(one.point, level, plane), weight });
  }
  return deciders;
}

/**
 * A remembered point at the level of the held notes, if it has no primes above 5.
 *
 * @param level how far these were moved; see `fill-scene.ts`
 * @param plane a point with the primes above 5 that they have
 * @example toHeard(ratio('5/4'), UNISON, UNISON)  // [-2, 0, 1, 0, 0, 0]: nothing was moved
 */
export function toHeard(point: PrimeVector, level: PrimeVector, plane: PrimeVector): PrimeVector {
  if (level === UNISON) return point;
  const moved = multiply(point, level);
  return moved[3] === plane[3] && moved[4] === plane[4] && moved[5] === plane[5] ? moved : point;
}
