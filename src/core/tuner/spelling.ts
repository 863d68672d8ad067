import { toKeyClass } from '../theory/index.js';
import type { Struck } from './places.js';
import { HELD, type Surroundings, UNSPELLED } from './surroundings.js';
import type { ChoiceWeights } from './weights.js';

/**
 * Spellings no composer writes, dearest first: octaves spelled as anything else, fourths and fifths, undoubted thirds,
 * and the first two again with notes that only a pedal holds.
 */
const NEVER = 1e6;
const OCTAVE = 100;
const HARDLY = 1e5;
const HARDLY_LOOSE = 1e3;
/** Weight of the music's place where nothing was heard before: there the chord alone counts. */
const SILENCE = 0.1;
/** How many fifths the music may be away from what is held: half a round of the twelve keys. */
const FARTHEST = 6;
/** Places tried for one key class: two around the music, the last one, and two around each sounding note. */
const MOST_PLACES = 16;

/**
 * Spells key classes struck together: C♯ or D♭, nine fifths apart or three. Ratios follow, since letters and
 * accidentals distinguish a third from an augmented second, and a comma never changes them.
 *
 * Octaves, fourths and fifths that sound together are spelled so, and triads as triads. Beyond that, notes should be
 * close together on the line of fifths, close to those that sound, close to the place of the music, and spelled as
 * before. The sum of all that is least.
 *
 * @example after music in A minor with F held, key class 8 is spelled G♯; with F and C held, A♭
 */
export class Speller {
  /** By key class: its place on the line of fifths from the tonic. */
  readonly fifths = new Int32Array(12);
  readonly #trial = new Int32Array(12);
  /** For the i-th key class its places, and what each costs beside what was heard; cheapest first. */
  readonly #places = Array.from({ length: 12 }, () => new Int32Array(MOST_PLACES));
  readonly #costs = Array.from({ length: 12 }, () => new Float64Array(MOST_PLACES));
  readonly #counts = new Int32Array(12);
  #struck!: Struck;
  #surroundings!: Surroundings;
  #weights!: ChoiceWeights;
  #centre = 0;
  /** The key classes that sound on or are struck, a bit each. */
  #sounding = 0;
  #best = 0;

  /** @param struck at least one key class */
  spell(struck: Struck, surroundings: Surroundings, weights: ChoiceWeights): void {
    this.#struck = struck;
    this.#surroundings = surroundings;
    this.#weights = weights;
    this.#centre = toCentre(surroundings, weights);
    this.#sounding = toSounding(struck, surroundings);
    for (let i = 0; i < struck.size; i++) this.#listPlaces(i);
    this.#best = Infinity;
    this.#search(0, 0);
  }

  /** Depth first over the key classes, cheapest places first. */
  #search(i: number, cost: number): void {
    const { size, classes } = this.#struck;
    if (cost >= this.#best) return;
    if (i === size) {
      this.#best = cost;
      for (let j = 0; j < size; j++) this.fifths[classes[j]] = this.#trial[classes[j]];
      return;
    }
    const keyClass = classes[i];
    for (let at = 0; at < this.#counts[i]; at++) {
      const fifths = this.#places[i][at];
      let sum = cost + this.#costs[i][at];
      for (let j = 0; j < i; j++) {
        const other = classes[j];
        sum += this.#toPairCost(keyClass, fifths, other, this.#trial[other], NEVER);
      }
      this.#trial[keyClass] = fifths;
      this.#search(i + 1, sum);
    }
  }

  /** The places of the i-th key class: around the music, its last one, and around all that sounds, however far. */
  #listPlaces(i: number): void {
    const keyClass = this.#struck.classes[i];
    const { size, fifths, bindings, lastFifths, chooser } = this.#surroundings;
    const keys = keyClass - chooser.home.tonic.keyClass;
    this.#counts[i] = 0;
    this.#addPlaces(i, keys, this.#centre);
    if (lastFifths[keyClass] !== UNSPELLED) this.#addPlace(i, lastFifths[keyClass]);
    for (let at = 0; at < size; at++) if (bindings[at] !== 0) this.#addPlaces(i, keys, fifths[at]);
  }

  /** Adds the nearest place on each side, unless already listed. */
  #addPlaces(i: number, keys: number, centre: number): void {
    const fifths = toKeyClass(7 * keys);
    const near = fifths + 12 * Math.round((centre - fifths) / 12);
    this.#addPlace(i, near);
    this.#addPlace(i, near > centre ? near - 12 : near + 12);
  }

  #addPlace(i: number, fifths: number): void {
    const [places, costs] = [this.#places[i], this.#costs[i]];
    const count = this.#counts[i];
    for (let at = 0; at < count; at++) if (places[at] === fifths) return;
    if (count === MOST_PLACES) return;
    const cost = this.#toCost(this.#struck.classes[i], fifths);
    let at = count;
    for (; at > 0 && costs[at - 1] > cost; at--) {
      places[at] = places[at - 1];
      costs[at] = costs[at - 1];
    }
    places[at] = fifths;
    costs[at] = cost;
    this.#counts[i]++;
  }

  /** What a place costs a key class beside what was heard. */
  #toCost(keyClass: number, fifths: number): number {
    const {
      size,
      fifths: heard,
      keyClasses,
      bindings,
      lastFifths,
      lastShares,
      isSilent,
    } = this.#surroundings;
    const { spellingHeld, spellingChange, spellingJump } = this.#weights;
    const astray = Math.abs(fifths - this.#centre);
    let cost = (isSilent ? SILENCE : 1) * astray * Math.sqrt(astray);
    for (let at = 0; at < size; at++) {
      if (bindings[at] === 0) continue;
      const isHeld = bindings[at] === HELD;
      const never = isHeld ? NEVER : HARDLY_LOOSE;
      const own = this.#toPairCost(keyClass, fifths, keyClasses[at], heard[at], never);
      cost += isHeld ? own : spellingHeld * own;
    }
    if (lastFifths[keyClass] !== UNSPELLED && lastFifths[keyClass] !== fifths)
      cost += spellingChange + spellingJump * lastShares[keyClass];
    return cost;
  }

  /** What it costs that two notes sounding together are this many fifths apart. */
  #toPairCost(keyClass: number, fifths: number, otherClass: number, other: number, never: number): number {
    const { spellingSpread, spellingApart } = this.#weights;
    const spread = Math.abs(fifths - other);
    const cost = spellingSpread * spread;
    const step = spread % 12;
    if (step === 0) return spread === 0 ? cost : cost + OCTAVE * never;
    if (step === 1 || step === 11) return spread === 1 ? cost : cost + never;
    // Augmented seconds and diminished fourths, which on the keys look like thirds.
    if (spread <= 4 || !isThird(step)) return cost;
    const isSure = never === NEVER && isSureThird(this.#sounding, keyClass, otherClass);
    return cost + spellingApart + (isSure ? HARDLY : 0);
  }
}

/**
 * The centre of the music on the line of fifths: its mean so far, at most `FARTHEST` from what is held or just ended.
 */
function toCentre(surroundings: Surroundings, { fifthsBias }: ChoiceWeights): number {
  const { fifths, fifthsMean } = surroundings;
  const centre = fifthsMean + fifthsBias;
  const span = surroundings.spanOfHeld(fifths) ?? surroundings.spanOfEnded(fifths);
  if (span === undefined) return centre;
  return Math.max(span[0] - FARTHEST, Math.min(span[1] + FARTHEST, centre));
}

/** Whether keys this many fifths apart are a third or a sixth. */
function isThird(step: number): boolean {
  return step === 3 || step === 4 || step === 8 || step === 9;
}

/** The key classes that are struck or held, a bit each. */
function toSounding({ size, classes }: Struck, { size: heard, keyClasses, bindings }: Surroundings): number {
  let sounding = 0;
  for (let i = 0; i < size; i++) sounding |= 1 << classes[i];
  for (let at = 0; at < heard; at++) if (bindings[at] === HELD) sounding |= 1 << keyClasses[at];
  return sounding;
}

/**
 * Whether two key classes three or four keys apart are certainly a third, and no augmented second or diminished fourth:
 * they belong to a sounding major or minor triad, or nothing else sounds.
 *
 * In chorales, hymns and a cappella music 99.6 % of the thirds of triads are written as thirds, and all but two in
 * three thousand of those that sound alone.
 *
 * @param sounding the key classes that sound, both of these among them, a bit for each
 * @example
 * const toBits = (classes: number[]) => classes.reduce((bits, keyClass) => bits | (1 << keyClass), 0);
 * isSureThird(toBits([8, 0, 3]), 8, 0)  // true: A♭ C E♭ is a triad
 * isSureThird(toBits([8, 0, 5]), 8, 0)  // true: so is F A♭ C
 * isSureThird(toBits([8, 0, 4]), 8, 0)  // false: beside E it may be G♯
 */
export function isSureThird(sounding: number, a: number, b: number): boolean {
  if ((sounding & ~(1 << a) & ~(1 << b)) === 0) return true;
  const up = toKeyClass(b - a);
  const isUp = up === 3 || up === 4;
  const lower = isUp ? a : b;
  const keys = isUp ? up : 12 - up;
  // The fifth above the lower note, or below the upper one, makes a triad of it.
  return isSounding(sounding, lower + 7) || isSounding(sounding, lower + keys - 7);
}

function isSounding(sounding: number, keyClass: number): boolean {
  return (sounding & (1 << toKeyClass(keyClass))) !== 0;
}
