import { type PrimeVector, toDeviationCents, UNISON } from '../theory/index.js';
import { type Consonances, toConsonances } from './consonance.js';
import { type ChoiceEffort, PartSearch } from './part-search.js';
import {
  CONTRADICTION,
  listPlaces,
  type Place,
  plus,
  type RigidPart,
  type Struck,
  toBound,
  toPlaceCost,
  toRigidChord,
} from './places.js';
import { type Surroundings, toPairPrice } from './surroundings.js';

/** What a choice costs beyond its parts. */
export interface WholeCost {
  /** 0 or more. `deviationCents`: how far each key class would be from its key in 12 equal. */
  of(struck: Struck, deviationCents: Float64Array): number;
}

/** A place for every key class struck, and what all of it costs. */
export interface StrikeChoice {
  /** By key class; meaningless for those not struck. */
  readonly points: readonly PrimeVector[];
  readonly cost: number;
}

/** The cheapest choices of one strike. */
export interface StrikeChoices {
  /** Cheapest first, at least one. */
  readonly choices: readonly StrikeChoice[];
  /** No other choice costs less than this; Infinity where there is no other. */
  readonly othersFrom: number;
}

/** How far around heard points a part is searched, in commas, and at how many places when no strikes are compared. */
type Range = { readonly reach: number; readonly most: number };

/** A pure chord is at most a comma away: as far as a consonance reaches. Others may be farther. */
const PURE: Range = { reach: 1, most: 8 };
const IMPURE: Range = { reach: 3, most: 12 };
/** Octaves, fifths and fourths alone. */
const PERFECT = toConsonances(3);
/** Below a syntonic comma nothing impure can come back to its old pitch. */
const COMMA_CENTS = 1200 * Math.log2(81 / 80);

/**
 * Places key classes struck together.
 *
 * If they fit so that every consonance among them, and with every held note, is just, they do. Memory, home and the
 * band only choose among such places. Each consonance has one just size, so key classes joined by consonances move as
 * one part. A held note that makes a consonance with any of a part fixes all of it. A part that no held note binds goes
 * where it costs least.
 *
 * If they don't fit, at least octaves, fifths and fourths are just if possible, and only they bind. Otherwise, or with
 * `recall`, each key class is placed alone. Then the sum of all costs is least, and impurities outweigh the rest.
 */
export class StrikeSearch {
  readonly #surroundings: Surroundings;
  readonly #search: PartSearch;
  #parts: readonly RigidPart[] = [];
  #places: readonly (readonly Place[])[] = [];
  #struck!: Struck;
  #effort!: ChoiceEffort;
  readonly #trialCents = new Float64Array(12);

  constructor(surroundings: Surroundings) {
    this.#surroundings = surroundings;
    this.#search = new PartSearch(surroundings.chooser);
  }

  /**
   * @param struck    at least one key class
   * @param fifths    by key class: its place on the line of fifths
   * @param wholeCost what a choice costs beyond the sum of its parts
   */
  find(struck: Struck, fifths: Int32Array, effort: ChoiceEffort, wholeCost?: WholeCost): StrikeChoices {
    this.#struck = struck;
    this.#effort = effort;
    const { consonances, recallCents } = this.#surroundings.chooser;
    const isRigid =
      recallCents < COMMA_CENTS &&
      (this.#prepareParts(fifths, consonances, PURE) || this.#prepareParts(fifths, PERFECT, IMPURE));
    if (!isRigid) this.#prepareSingly(fifths);
    const [parts, places] = [this.#parts, this.#places];
    // Parts that held notes bind have one place only.
    if (effort.fan === 1 && places.every(({ length }) => length === 1))
      return {
        choices: [{ points: this.#toPoints(places.map(([one]) => one)), cost: 0 }],
        othersFrom: Infinity,
      };
    const base = effort.fan > 1 ? this.#toInner() : 0;
    const wholeOf = wholeCost && ((chosen: readonly Place[]) => this.#toWhole(wholeCost, chosen));
    const found = this.#search.find({ parts, places, base, wholeOf }, effort);
    const choices = found.map(({ places: chosen, cost }) => ({ points: this.#toPoints(chosen), cost }));
    return { choices, othersFrom: this.#search.othersFrom };
  }

  /**
   * Makes parts of key classes joined by the given consonances.
   * @returns false where not all of these consonances can be just
   */
  #prepareParts(fifths: Int32Array, consonances: Consonances, range: Range): boolean {
    const parts = toRigidChord(this.#struck, fifths, consonances);
    if (parts === undefined) return false;
    const places: Place[][] = [];
    for (const part of parts) {
      const bound = toBound(this.#surroundings, part, fifths, consonances);
      if (bound === CONTRADICTION) return false;
      if (bound !== undefined) places.push([{ root: bound, cost: 0 }]);
      else places.push(this.#listPlaces(part, fifths, range));
    }
    // A bound part has no choice: its cost is needed only beside others, or for a comparison.
    if (places.some(({ length }) => length > 1) || this.#effort.fan > 1)
      parts.forEach((part, i) => {
        if (places[i].length !== 1) return;
        const [{ root }] = places[i];
        places[i] = [{ root, cost: toPlaceCost(this.#surroundings, part, root) }];
      });
    this.#parts = parts;
    this.#places = places;
    return true;
  }

  /** What the notes of each part cost each other at any place: matters only where strikes are compared. */
  #toInner(): number {
    const { chooser } = this.#surroundings;
    let cost = 0;
    for (const { steps } of this.#parts)
      for (let i = 1; i < steps.length; i++)
        for (let j = 0; j < i; j++) cost += toPairPrice(chooser, steps[i], steps[j]);
    return cost;
  }

  #prepareSingly(fifths: Int32Array): void {
    const parts: RigidPart[] = [];
    const { size, classes } = this.#struck;
    for (let i = 0; i < size; i++) parts.push({ classes: [classes[i]], steps: [UNISON] });
    this.#parts = parts;
    this.#places = parts.map((part) => this.#listPlaces(part, fifths, IMPURE));
  }

  /** All places of a part where strikes are compared, else a few. */
  #listPlaces(part: RigidPart, fifths: Int32Array, { reach, most }: Range): Place[] {
    const count = this.#effort.fan > 1 ? Infinity : most;
    return listPlaces(this.#surroundings, part, fifths[part.classes[0]], reach, count);
  }

  #toWhole(wholeCost: WholeCost, places: readonly Place[]): number {
    this.#parts.forEach(({ classes, steps }, i) => {
      const cents = toDeviationCents(places[i].root);
      for (let m = 0; m < classes.length; m++)
        this.#trialCents[classes[m]] = cents + toDeviationCents(steps[m]);
    });
    return wholeCost.of(this.#struck, this.#trialCents);
  }

  #toPoints(places: readonly Place[]): PrimeVector[] {
    const points = new Array<PrimeVector>(12).fill(UNISON);
    this.#parts.forEach(({ classes, steps }, i) => {
      for (let m = 0; m < classes.length; m++) points[classes[m]] = plus(places[i].root, steps[m]);
    });
    return points;
  }
}
