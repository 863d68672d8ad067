import { type PrimeVector, sameClass, toDeviationCents, UNISON, withKeys } from '../theory/index.js';
import { AnchorCost } from './anchor-cost.js';
import { type Candidate, type Chooser, isNear, rankCandidates, type Surroundings } from './candidates.js';
import { moveOffset, toBodyCents, toReturnCents } from './common-offset.js';
import type { Guide } from './guide.js';
import { findSevenths, inflectHarmonicChord } from './harmonic-chord.js';
import { hearScene, toWeight } from './hear-scene.js';
import { type ClassChoice, chooseJointly, type WholeCost } from './joint-choice.js';
import { bookMove } from './ledger.js';
import type { SoundingNote } from './note.js';
import { toPlace } from './pair-cost.js';
import type { Scene } from './scene.js';
import { temperStrike } from './tempering.js';
import type { OpenStrike, Tuner } from './tuner.js';

/** A memory fainter than this no longer speaks against a tied note. */
const FAINT = 0.01;
/** A pedalled note fainter than this no longer belongs to the chord that sounds. */
const FAINT_PEDAL = 0.2;

/** Places every note of the open strike that isn't settled, jointly, then the offset. There is at least one. */
export function placeStrike(tuner: Tuner, atMs: number): void {
  const strike = tuner.strike!;
  const struck = tuner.notes.filter((note) => !note.settled);
  strike.scene ??= hearScene(tuner, strike);
  strike.deciders ??= strike.scene.deciders;
  if (tuner.guide === undefined || !isGuided(tuner.guide, struck))
    choosePoints(tuner, strike.scene, struck, atMs);
  else placeByGuide(tuner.guide, tuner.originKey, struck);
  if (tuner.settings.strategy === 'temper') temperStrike(tuner, strike, atMs);
  else placeOffset(tuner, strike, struck, atMs);
}

/** The live rule: what is best now, going by what was heard so far. */
function choosePoints(tuner: Tuner, scene: Scene, struck: readonly SoundingNote[], atMs: number): void {
  const chosen = chooseFor(tuner, scene, struck);
  for (const note of struck) {
    note.harmonic = false;
    const point = chosen[note.keyClass]!;
    // Revised to where it stands already: by far the commonest case.
    if (note.point === note.frame && note.point !== UNISON && sameClass(note.point, point)) continue;
    note.frame = withKeys(point, note.key - tuner.originKey);
    place(note, note.frame);
  }
  if (tuner.settings.limit >= 7) inflect(tuner, scene, atMs);
}

/** Whether the guide knows every note struck. A strike isn't divided between two deciders. */
function isGuided(guide: Guide, struck: readonly SoundingNote[]): boolean {
  return struck.every(({ id }) => guide.frameOf(id) !== undefined);
}

function placeByGuide(guide: Guide, originKey: number, struck: readonly SoundingNote[]): void {
  for (const note of struck) {
    const keys = note.key - originKey;
    const frame = guide.frameOf(note.id)!;
    const point = guide.pointOf(note.id) ?? frame;
    note.frame = withKeys(frame, keys);
    place(note, sameClass(point, frame) ? note.frame : withKeys(point, keys));
  }
}

function place(note: SoundingNote, point: PrimeVector): void {
  note.point = point;
  note.deviationCents = toDeviationCents(point);
}

/** Chooses a point for each key class struck; by key class 0..11. */
function chooseFor(tuner: Tuner, scene: Scene, struck: readonly SoundingNote[]): (PrimeVector | undefined)[] {
  const { chooser, seeds, notes, settings } = tuner;
  const classes = toClasses(struck);
  if (scene.isEmpty) scene.surroundings = atHome(seeds, scene, classes);
  for (const one of classes) {
    const { keyClass } = one;
    const known = scene.isEmpty ? undefined : scene.candidates[keyClass];
    one.candidates = known ?? rankCandidates(chooser, scene.surroundings, keyClass);
    scene.candidates[keyClass] = one.candidates;
  }
  const points: (PrimeVector | undefined)[] = new Array<PrimeVector | undefined>(12).fill(undefined);
  const sevenths = findSevenths(notes, settings.limit);
  const first = sevenths.length === 0 ? classes : classes.filter((one) => !sevenths.includes(one.keyClass));
  const wholeCost = scene.isAnchored ? toWholeCost(tuner, scene) : undefined;
  const chosen =
    first.length === 0 ? [] : chooseJointly(chooser.pairCost, first, scene.surroundings.near, wholeCost);
  for (let i = 0; i < first.length; i++) points[first[i].keyClass] = chosen[i];
  if (first === classes) return points;
  for (const one of classes) {
    if (!first.includes(one)) points[one.keyClass] = placeBeside(chooser, one, chosen);
  }
  return points;
}

/** As of the beginning of the strike, whichever of its notes asks first. */
function toWholeCost(tuner: Tuner, scene: Scene): WholeCost {
  scene.anchorCost ??= new AnchorCost(tuner, tuner.strike!.atMs);
  return scene.anchorCost;
}

const NO_CANDIDATES: readonly Candidate[] = [];

/** The key classes struck, in ascending order, with how many notes each has. */
function toClasses(struck: readonly SoundingNote[]): OpenChoice[] {
  const classes: OpenChoice[] = [];
  for (const { keyClass } of struck) {
    const same = classes.find((one) => one.keyClass === keyClass);
    if (same === undefined) insertSorted(classes, { keyClass, count: 1, candidates: NO_CANDIDATES });
    else same.count++;
  }
  return classes;
}

function insertSorted(classes: OpenChoice[], one: OpenChoice): void {
  let at = classes.push(one) - 1;
  for (; at > 0 && classes[at - 1].keyClass > one.keyClass; at--) classes[at] = classes[at - 1];
  classes[at] = one;
}

/** A key class to be placed that is still being put together. */
type OpenChoice = { -readonly [K in keyof ClassChoice]: ClassChoice[K] };

/** Where a seventh goes that will be inflected: beside the rest of its chord, which stands already. */
function placeBeside(
  { pairCost }: Chooser,
  { candidates }: ClassChoice,
  chord: readonly PrimeVector[],
): PrimeVector {
  let best = candidates[0].point;
  let least = Infinity;
  for (const { point, cost } of candidates) {
    const sum = chord.reduce((total, other) => total + pairCost.between(point, other), cost);
    if (sum < least) {
      best = point;
      least = sum;
    }
  }
  return best;
}

/** Nothing was ever heard: the candidates are those around home, for whatever is struck. */
function atHome(seeds: readonly PrimeVector[], scene: Scene, classes: readonly ClassChoice[]): Surroundings {
  const context = classes.map(({ keyClass }) => {
    const point = seeds[keyClass];
    return { point, place: toPlace(point), keyClass, weight: 0 };
  });
  const { last, fifthsMean, offsetCents, homeLean } = scene.surroundings;
  return { context, near: isNear(context), last, fifthsMean, offsetCents, homeLean };
}

function inflect(tuner: Tuner, scene: Scene, atMs: number): void {
  const chord = tuner.notes.filter((note) => note.keyDown || toWeight(tuner, note, atMs) > FAINT_PEDAL);
  inflectHarmonicChord(chord, tuner.settings.limit, scene.loudestMemory < FAINT, (note, point) =>
    place(note, withKeys(point, note.key - tuner.originKey)),
  );
}

/** Puts the common offset where the strategy wants it for this strike, starting from where it stood before it. */
function placeOffset(tuner: Tuner, strike: OpenStrike, struck: readonly SoundingNote[], atMs: number): void {
  const { settings, offset, notes } = tuner;
  let wanted = offset.strikeBaseCents;
  const planned = tuner.guide?.offsetOf(struck[0].id);
  if (planned !== undefined) {
    wanted = planned;
  } else if (strike.anew !== undefined) {
    wanted = -toBodyCents(struck, settings, 0);
  } else if (settings.strategy === 'anchored' && !tuner.driftHeld) {
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
