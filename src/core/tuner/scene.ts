import { AnchorCost } from './anchor-cost.js';
import { Rankings } from './candidates.js';
import type { Chooser } from './chooser.js';
import { JointChoice } from './joint-choice.js';
import { StruckClasses } from './struck-classes.js';
import { Surroundings } from './surroundings.js';

/**
 * What was there before a strike, heard once at its first note: the notes of the strike are all measured against the same
 * surroundings, in whatever order they arrive. Void as soon as a settled note ends or another one settles.
 *
 * A tuner has one, which hears strike after strike.
 */
export class Scene {
  readonly surroundings: Surroundings;
  /** Where new notes may go among them. */
  readonly rankings: Rankings;
  /** The key classes that are to go there, and what was chosen for them. */
  readonly struck = new StruckClasses();
  readonly jointChoice: JointChoice;
  /** It holds for the open strike. */
  isHeard = false;
  /** Nothing was ever heard before. */
  isEmpty = true;
  /** Coming back elsewhere has its price on the whole choice, by where it is then anchored, and not on each candidate. */
  isAnchored = false;
  /** That price. */
  readonly anchorCost = new AnchorCost();

  constructor(chooser: Chooser) {
    this.surroundings = new Surroundings(chooser);
    this.rankings = new Rankings(this.surroundings);
    this.jointChoice = new JointChoice(chooser.pairCost, this.rankings);
  }
}
