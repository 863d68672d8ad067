import type { Spot } from './surroundings.js';

/** One way of tuning the piece so far. */
export interface State {
  readonly cost: number;
  /** Where the frontier's slots stand, in its order. */
  readonly spots: readonly Spot[];
  readonly parent: State | undefined;
  readonly places: readonly Spot[];
}

/** States by what still matters of them. */
export class Pool {
  readonly states: State[] = [];
  readonly #byHash = new Map<number, State[]>();

  /** Adds a state, unless one that is at least as good has the same future; takes out those it is better than. */
  add(state: State): void {
    const hash = toHash(state.spots);
    const alike = this.#byHash.get(hash);
    if (alike === undefined) {
      this.#byHash.set(hash, [state]);
      this.states.push(state);
      return;
    }
    for (const other of alike) {
      if (!haveSameSpots(other, state)) continue;
      if (other.cost <= state.cost) return;
      alike[alike.indexOf(other)] = state;
      this.states[this.states.indexOf(other)] = state;
      return;
    }
    alike.push(state);
    this.states.push(state);
  }
}

function toHash(spots: readonly Spot[]): number {
  let hash = 0;
  for (let i = 0; i < spots.length; i++) hash = (Math.imul(hash, 31) + spots[i].place) | 0;
  return hash;
}

function haveSameSpots(a: State, b: State): boolean {
  for (let i = 0; i < a.spots.length; i++) if (a.spots[i].place !== b.spots[i].place) return false;
  return true;
}
