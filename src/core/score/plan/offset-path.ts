/** A wanted move, and its weight. */
export interface WantedMove {
  readonly cents: number;
  readonly weight: number;
}

/** One moment of an offset path: its bounds, its preferred place, and the preferred moves to it. */
export interface OffsetStep {
  /** It must not be lower or higher than this. Both finite. */
  readonly leastCents: number;
  readonly mostCents: number;
  /** Its value at home, and the weight of that. */
  readonly homeCents: number;
  readonly homeWeight: number;
  /** The preferred moves from the moment before; ignored for the first. */
  readonly moves: readonly WantedMove[];
}

/** Resolution of the places, and how many there are at most between the bounds: wide bounds get a coarser one. */
const FINE_CENTS = 0.5;
const MOST_PLACES = 64;
/** From the first distance on a note is elsewhere, from the second audibly so: that counts `HEARD` times as much. */
const ELSEWHERE_CENTS = 1;
const HEARD_CENTS = 5;
const HEARD = 2;
/** Beyond this the cost grows slowly: by the square over this. */
const FAR_CENTS = 10;

/**
 * The path x of least Σ homeWeight·(x − homeCents)² + Σ weight·φ(x − x before − cents) within its bounds. φ grows with
 * the square up to 1 cent, then to 5, and slowly from there on. So the path moves seldom, and then as far as it must: a
 * few notes come back elsewhere, instead of all of them by a little.
 *
 * Dynamic programming over places half a cent apart, the bounds, and home: exact among those. Time in proportion to the
 * length.
 *
 * @returns one value a step, within its bounds
 * @example
 * const steps = [[0, 3], [2, 5]].map(([leastCents, mostCents]) => (
 *   { leastCents, mostCents, homeCents: 0, homeWeight: 0.001, moves: [{ cents: 0, weight: 1 }] }));
 * findOffsetPath(steps)  // [2, 2]
 */
export function findOffsetPath(steps: readonly OffsetStep[]): Float64Array {
  const trail: { places: Float64Array; from: Uint8Array }[] = [];
  let before: Float64Array = new Float64Array(0);
  let costs: Float64Array = new Float64Array(0);
  for (const step of steps) {
    const places = toPlaces(step, steps[0]);
    const from = new Uint8Array(places.length);
    const next = new Float64Array(places.length);
    for (let i = 0; i < places.length; i++) {
      let least = trail.length === 0 ? 0 : Infinity;
      for (let j = 0; j < before.length; j++) {
        if (costs[j] >= least) continue;
        const cost = costs[j] + toMoveCost(step, places[i] - before[j]);
        if (cost >= least) continue;
        least = cost;
        from[i] = j;
      }
      next[i] = least + step.homeWeight * (places[i] - step.homeCents) ** 2;
    }
    trail.push({ places, from });
    before = places;
    costs = next;
  }
  const path = new Float64Array(steps.length);
  let at = costs.indexOf(costs.reduce((a, b) => Math.min(a, b), Infinity));
  for (let i = steps.length - 1; i >= 0; i--) {
    path[i] = trail[i].places[at];
    at = trail[i].from[at];
  }
  return path;
}

/** The places of a moment: in equal steps from the home of the first moment, so that the path can stay where it is. */
function toPlaces({ leastCents, mostCents, homeCents }: OffsetStep, first: OffsetStep): Float64Array {
  const width = mostCents - leastCents;
  const fine = Math.max(FINE_CENTS, width / MOST_PLACES);
  const places = [leastCents, mostCents, Math.max(leastCents, Math.min(mostCents, homeCents))];
  for (let i = Math.ceil((leastCents - first.homeCents) / fine); ; i++) {
    const cents = first.homeCents + i * fine;
    if (cents >= mostCents) break;
    places.push(cents);
  }
  return Float64Array.from(places);
}

function toMoveCost({ moves }: OffsetStep, cents: number): number {
  let cost = 0;
  for (const move of moves) {
    const square = (cents - move.cents) ** 2;
    const elsewhere = Math.min(square / ELSEWHERE_CENTS ** 2, 1);
    const heard = HEARD * Math.min(square / HEARD_CENTS ** 2, 1);
    cost += move.weight * (elsewhere + heard + square / FAR_CENTS ** 2);
  }
  return cost;
}
