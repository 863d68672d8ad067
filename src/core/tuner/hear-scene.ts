import { divide, type PrimeVector, sameClass, toDeviationCents, UNISON } from '../theory/index.js';
import { toHeard } from './background.js';
import type { Background, Decider, SoundingNote } from './note.js';
import type { OpenStrike, Tuner } from './tuner.js';
import { type ChoiceWeights, toFading, toPedalWeight, toRecallWeight } from './weights.js';

/**
 * Hears what the notes of a strike are measured against: settled notes that sound, and what is remembered of silent key
 * classes, all as it was when the strike began.
 */
export function hearScene(tuner: Tuner, strike: OpenStrike): void {
  const { notes, memory, settings, scene } = tuner;
  const { weights } = settings;
  const { atMs, anew } = strike;
  const { surroundings } = scene;
  const isAnchored = settings.strategy === 'anchored' && anew === undefined;
  const level = heldLevel(notes);
  surroundings.begin();
  for (const note of notes) {
    if (!note.settled) continue;
    const { point, keyClass } = note;
    surroundings.hear(point, keyClass, toWeight(weights, note, atMs));
    if (isAnchored) continue;
    const fading = note.keyDown ? 1 : toFading(weights, (atMs - note.releasedMs) / 1000);
    surroundings.wasLastAt(keyClass, note.deviationCents, fading);
  }
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const slot = memory[keyClass];
    if (slot === undefined || surroundings.hears(keyClass)) continue;
    const point = toHeard(slot.point, level);
    const ageSeconds = (atMs - slot.endedMs) / 1000;
    surroundings.hear(point, keyClass, toRecallWeight(weights, ageSeconds));
    if (isAnchored) continue;
    surroundings.wasLastAt(keyClass, toDeviationCents(point), toFading(weights, ageSeconds));
  }
  surroundings.end();
  surroundings.fifthsMean = tuner.fifthsMean - settings.home.tonic.fifths;
  surroundings.offsetCents = tuner.offset.strikeBaseCents;
  surroundings.homeLean = settings.strategy === 'free' ? 0 : weights.homeLean;

  scene.isHeard = true;
  scene.isEmpty = surroundings.isEmpty;
  scene.isAnchored = isAnchored && !scene.isEmpty;
  if (scene.isAnchored) scene.anchorCost.hear(tuner, atMs);
  scene.rankings.clear();
  strike.background ??= keepBackground(tuner, level, atMs);
}

/** Everything there is, for the reasons to be given later. */
function keepBackground({ notes, memory, settings }: Tuner, level: PrimeVector, atMs: number): Background {
  const { weights } = settings;
  const sounding: Decider[] = [];
  for (const note of notes) {
    if (!note.settled) continue;
    const { key, point, keyDown } = note;
    const presence = keyDown ? 'held' : 'pedalled';
    sounding.push({ presence, key, point, weight: toWeight(weights, note, atMs) });
  }
  return { atMs, sounding, memory: memory.slice(), level, weights };
}

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
export function toWeight(weights: ChoiceWeights, note: SoundingNote, atMs: number): number {
  return note.keyDown ? weights.held : toPedalWeight(weights, (atMs - note.releasedMs) / 1000);
}
