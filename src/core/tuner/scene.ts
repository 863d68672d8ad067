import { type PrimeVector, UNISON } from '../theory/index.js';
import type { Chooser } from './chooser.js';
import { AnchorCost } from './common-offset.js';
import type { SoundingNote } from './note.js';
import type { ChoiceEffort } from './part-search.js';
import { StruckClasses } from './places.js';
import { Speller } from './spelling.js';
import { StrikeSearch } from './strike-choice.js';
import { HELD, Surroundings } from './surroundings.js';

/** Only the best is wanted, and soon. Forty steps found it for every one of 1600 random clusters. */
const LIVE: ChoiceEffort = { fan: 1, slack: 0, steps: 40 };

/**
 * The surroundings of a strike, collected once at its first note: all its notes are measured against the same, in
 * whatever order they arrive. A tuner reuses one for every strike.
 */
export class Scene {
  readonly surroundings: Surroundings;
  /** The key classes to be placed, their spelling, and the choice, by key class. */
  readonly struck = new StruckClasses();
  readonly speller = new Speller();
  points: PrimeVector[] = new Array<PrimeVector>(12).fill(UNISON);
  /** How far remembered points are moved before they count; see `fill-scene.ts`. */
  memoryLevel: PrimeVector = UNISON;
  /** Nothing was ever heard before. */
  isEmpty = true;
  /** Coming back elsewhere costs by the anchored pitch of the whole choice, not by each candidate. */
  isAnchored = false;
  readonly anchorCost = new AnchorCost();
  readonly #search: StrikeSearch;

  constructor(chooser: Chooser) {
    this.surroundings = new Surroundings(chooser);
    this.#search = new StrikeSearch(this.surroundings);
  }

  /** How impure the notes of the strike are, among each other and beside what sounds; 0 for not at all. */
  toImpurity(struck: readonly SoundingNote[]): number {
    const { size, points, bindings, chooser } = this.surroundings;
    let impurity = 0;
    for (let i = 0; i < struck.length; i++) {
      const { point } = struck[i];
      for (let at = 0; at < size; at++)
        if (bindings[at] > 0) impurity += bindings[at] * chooser.pairCost.impurityOf(point, points[at]);
      for (let j = 0; j < i; j++) impurity += HELD * chooser.pairCost.impurityOf(point, struck[j].point);
    }
    return impurity;
  }

  choose(): void {
    const { struck, surroundings, speller } = this;
    if (struck.size === 0) return;
    speller.spell(struck, surroundings, surroundings.chooser.weights);
    const wholeCost = this.isAnchored ? this.anchorCost : undefined;
    const { choices } = this.#search.find(struck, speller.fifths, LIVE, wholeCost);
    this.points = choices[0].points.slice();
  }
}
