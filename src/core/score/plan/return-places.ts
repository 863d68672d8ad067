/** Returns to be made in order, and the cost of one at each strike. */
export interface ReturnQuestion {
  /** How wide each is, in cents, signed, in order. */
  readonly stepCents: readonly number[];
  /** For each strike, the price of a return of a syntonic comma there; Infinity where none is allowed. */
  readonly prices: Float64Array;
  /** For each strike, the latest strike allowed for the return before. */
  readonly before: Int32Array;
  /** How far from home each strike is without returns, in cents, and for how long. */
  readonly awayCents: Float64Array;
  readonly seconds: Float64Array;
}

const COMMA_CENTS = 1200 * Math.log2(81 / 80);
/**
 * Price of a comma away from home for a second; it grows with the square. So low that the cheapest places are taken all
 * over the piece, yet not all at one end.
 */
const AWAY_PRICE = 0.002;
/** What sounds for more strikes than this may include a second return. */
const MOST_STRIKES = 16;

/**
 * The cheapest places for a row of returns, at most one a strike, by dynamic programming over strikes and the number of
 * returns made. Work and memory grow with their product; a cell takes a bit.
 *
 * @returns the strike of each return, ascending; undefined if there is no room for them
 */
export function findReturnPlaces(question: ReturnQuestion): number[] | undefined {
  const { stepCents, prices } = question;
  const before = question.before.map((strike, at) => Math.min(at - 1, Math.max(strike, at - MOST_STRIKES)));
  const all = stepCents.length;
  const taken = new Bits(prices.length * (all + 1));
  const away = new Away(question);
  // The least cost up to a strike, by the number of returns made: of the last strikes only.
  const rows = Array.from({ length: MOST_STRIKES + 1 }, () => new Float64Array(all + 1).fill(Infinity));
  const rowOf = (at: number) => rows[at % rows.length];
  prices.forEach((price, at) => {
    const row = rowOf(at).fill(Infinity);
    if (at === 0) {
      row[0] = away.between(0, 1, 0);
      return;
    }
    const last = rowOf(at - 1);
    const from = before[at];
    const origin = rowOf(from);
    for (let count = 0; count <= Math.min(at, all); count++) {
      const stay = last[count];
      let take = Infinity;
      if (count > 0 && price < Infinity) {
        const its = (price * Math.abs(stepCents[count - 1])) / COMMA_CENTS;
        take = origin[count - 1] + away.between(from + 1, at, count - 1) + its;
      }
      if (take < stay) taken.set(at * (all + 1) + count);
      row[count] = Math.min(stay, take) + away.between(at, at + 1, count);
    }
  });
  const end = prices.length - 1;
  if (all > 0 && !(rowOf(Math.max(0, end))[all] < Infinity)) return undefined;
  const places: number[] = [];
  let count = all;
  for (let at = end; count > 0; ) {
    if (!taken.has(at * (all + 1) + count)) {
      at -= 1;
      continue;
    }
    places.push(at);
    count -= 1;
    at = before[at];
  }
  return places.reverse();
}

/** The cost of being away from home for any stretch, from prefix sums. */
class Away {
  readonly #givenBack: Float64Array;
  readonly #sums: readonly Float64Array[];

  constructor({ stepCents, awayCents, seconds }: ReturnQuestion) {
    this.#givenBack = new Float64Array(stepCents.length + 1);
    for (let i = 0; i < stepCents.length; i++) this.#givenBack[i + 1] = this.#givenBack[i] + stepCents[i];
    const weight = AWAY_PRICE / COMMA_CENTS ** 2;
    this.#sums = [0, 1, 2].map((power) => {
      const sums = new Float64Array(awayCents.length + 1);
      for (let at = 0; at < awayCents.length; at++)
        sums[at + 1] = sums[at] + weight * seconds[at] * awayCents[at] ** power;
      return sums;
    });
  }

  /** From one strike up to, but without, another, after the given number of returns. */
  between(from: number, to: number, count: number): number {
    const back = this.#givenBack[count];
    const [zero, one, two] = this.#sums;
    return two[to] - two[from] + 2 * back * (one[to] - one[from]) + back ** 2 * (zero[to] - zero[from]);
  }
}

class Bits {
  readonly #bytes: Uint8Array;

  constructor(length: number) {
    this.#bytes = new Uint8Array(Math.ceil(length / 8));
  }

  set(i: number): void {
    this.#bytes[Math.floor(i / 8)] |= 1 << (i % 8);
  }

  has(i: number): boolean {
    return (this.#bytes[Math.floor(i / 8)] & (1 << (i % 8))) !== 0;
  }
}
