import { divide, multiply, type PrimeVector, sameClass, UNISON } from '../theory/index.js';
import { type ContextPoint, isNear, type LastPlace, type Surroundings } from './candidates.js';
import type { Decider, SoundingNote } from './note.js';
import { toPlace } from './pair-cost.js';
import type { Scene } from './scene.js';
import type { OpenStrike, Tuner } from './tuner.js';
import { toPedalWeight, toRecallWeight } from './weights.js';

const NO_LAST: readonly undefined[] = Array.from({ length: 12 }, () => undefined);
const NO_CANDIDATES: readonly undefined[] = NO_LAST;

/**
 * What the notes of a strike are measured against: settled notes that sound, and what is remembered of silent key classes,
 * all as it was when the strike began.
 */
export function hearScene(tuner: Tuner, { atMs, anew }: OpenStrike): Scene {
  const { notes, memory, settings } = tuner;
  const { homeLean } = settings.weights;
  const context: Heard[] = [];
  // Whatever can decide a note: the context, and the memory of key classes that sound.
  const deciders: Heard[] = [];
  const last: (Heard | undefined)[] = NO_LAST.slice();
  const level = heldLevel(notes);
  let loudestMemory = 0;
  for (const note of notes) {
    if (!note.settled) continue;
    const { point, key, keyClass, keyDown } = note;
    const presence = keyDown ? 'held' : 'pedalled';
    const ageSeconds = keyDown ? 0 : (atMs - note.releasedMs) / 1000;
    const weight = toWeight(tuner, note, atMs);
    const heard = { presence, key, keyClass, point, place: toPlace(point), weight, ageSeconds } as const;
    context.push(heard);
    deciders.push(heard);
    last[keyClass] = heard;
  }
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const slot = memory[keyClass];
    if (slot === undefined) continue;
    const { key } = slot;
    const point = level === UNISON ? slot.point : multiply(slot.point, level);
    const ageSeconds = (atMs - slot.endedMs) / 1000;
    const weight = toRecallWeight(settings.weights, ageSeconds);
    const heard = {
      presence: 'recalled',
      key,
      keyClass,
      point,
      place: toPlace(point),
      weight,
      ageSeconds,
    } as const;
    loudestMemory = Math.max(loudestMemory, weight);
    deciders.push(heard);
    if (last[keyClass] !== undefined) continue;
    last[keyClass] = heard;
    context.push(heard);
  }
  const isEmpty = context.length === 0;
  const isAnchored = settings.strategy === 'anchored' && anew === undefined && !isEmpty;
  const surroundings: Surroundings = {
    context,
    near: isNear(context),
    last: isAnchored ? NO_LAST : last,
    fifthsMean: tuner.fifthsMean - settings.home.tonic.fifths,
    offsetCents: tuner.offset.strikeBaseCents,
    homeLean: settings.strategy === 'free' ? 0 : homeLean,
  };
  return {
    surroundings,
    candidates: NO_CANDIDATES.slice(),
    isAnchored,
    anchorCost: undefined,
    deciders,
    isEmpty,
    loudestMemory,
  };
}

/** A note that sounds, or the memory of one: it has its place in the context, and may have decided another. */
type Heard = ContextPoint & LastPlace & Decider;

/**
 * How far the held notes stand from where they would stand without primes above 5, if they all agree. Tied notes of a
 * chord that was moved to meet its seventh decide the level of what follows; memory, which keeps the frame, is heard
 * at that level, so that one tied note isn't outvoted by everything remembered.
 */
function heldLevel(notes: readonly SoundingNote[]): PrimeVector {
  let level: PrimeVector | undefined;
  for (const note of notes) {
    if (!note.settled || !note.keyDown) continue;
    const its = toLevel(note);
    if (level !== undefined && !sameClass(level, its)) return UNISON;
    level = its;
  }
  return level ?? UNISON;
}

/** The level of one note: none for a seventh, eleventh or thirteenth that was itself inflected, since its chord wasn't moved. */
function toLevel(note: SoundingNote): PrimeVector {
  if (note.point === note.frame) return UNISON;
  const level = divide(note.point, note.frame);
  return level[3] > 0 || level[4] > 0 || level[5] > 0 ? UNISON : level;
}

/** How much a note that sounds counts for those struck now: all of it by its key, less and less by a pedal alone. */
export function toWeight(tuner: Tuner, note: SoundingNote, atMs: number): number {
  const { weights } = tuner.settings;
  return note.keyDown ? weights.held : toPedalWeight(weights, (atMs - note.releasedMs) / 1000);
}
