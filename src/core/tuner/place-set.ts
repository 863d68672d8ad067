/**
 * A set of whole numbers below a given size that is emptied without work: numbers count as members only if they were
 * added in the present round. For the inner loop of the choice, which asks thousands of times a second.
 */
export class PlaceSet {
  /** Doubles: rounds are counted exactly for longer than anybody plays. */
  readonly #rounds: Float64Array;
  #round = 1;

  /** @param size members are 0 to size − 1 */
  constructor(size: number) {
    this.#rounds = new Float64Array(size);
  }

  /** Forgets every member. */
  clear(): void {
    this.#round++;
  }

  /** Adds a number. @returns whether it is new */
  add(member: number): boolean {
    if (this.#rounds[member] === this.#round) return false;
    this.#rounds[member] = this.#round;
    return true;
  }
}
