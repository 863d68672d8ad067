/**
 * What it costs to put a new note some commas from another one, where consonances leave it free. Rows: distance on the
 * line of fifths, 0 to 6. Columns: syntonic commas beyond the chain of pure fifths, -3 to 3. A whole tone (row 2) is as
 * good as 9/8 (0) or 10/9 (1); a note that comes back (row 0) had best return to its old place.
 *
 * The prices are learnt from plans of whole pieces, which know what comes. They are logarithms of odds, so they add up.
 * `README.md` beside this file says how they were found.
 */
export type CommaPrices = readonly (readonly number[])[];

/** The prices of one way of deciding. */
export interface PriceList {
  /** Beside a note that sounds, or is struck with it. */
  readonly sounding: CommaPrices;
  /** Beside a silent note, just ended or ended a while ago, and how long until each fades to 1/e. */
  readonly recent: CommaPrices;
  readonly recentSeconds: number;
  readonly lasting: CommaPrices;
  readonly lastingSeconds: number;
}

const SOUNDING: CommaPrices = [
  [0, 0, 0, 0, 0, 0, 0],
  [0, 0, 0, 0, 0, 0, 0],
  [1.36, 2.16, 2.54, 0, 0.47, 2.64, 1.35],
  [0, 0, 0, 0, 0, 0, 0],
  [0, 0, 0, 0, 0, 0, 0],
  [0.92, 1.56, 1.6, 2.32, 0, 0.33, 1.57],
  [0.84, 0.65, 1.57, 0.82, 0, 0.39, 1.07],
];

const RECENT: CommaPrices = [
  [1.67, 2.49, 0.52, 0, 0.52, 2.49, 1.67],
  [0.67, 0.93, 0.34, 0.07, 0, 1.51, 0.39],
  [0.52, 0.5, 0.38, 0.02, 0, 0.85, 0.88],
  [1.63, 0.33, 0.96, 0, 0.07, 0.23, 0.66],
  [0.9, 0.53, 0.3, 0.27, 0.12, 0, 1.23],
  [0.85, 0.85, 0, 0.34, 0.01, 0.02, 1.7],
  [0.82, 0, 0.26, 0.4, 0.14, 0.3, 0.6],
];

const LASTING: CommaPrices = [
  [1.78, 2.88, 1.4, 0, 1.4, 2.88, 1.78],
  [1.11, 0.95, 0.34, 0, 0.28, 1.83, 0.6],
  [0.64, 0.32, 0.86, 0.01, 0, 0.72, 1.42],
  [1.45, 0.43, 1.24, 0.3, 0, 0.17, 0.74],
  [1.09, 0.73, 0.42, 0.31, 0, 0.26, 0.86],
  [1.29, 1.15, 0.22, 0.97, 0, 0.3, 0.7],
  [0.85, 0, 0.17, 0.2, 0, 0.15, 0.3],
];

/** The prices of the live rule, which doesn't know what comes. */
export const LIVE_PRICES: PriceList = Object.freeze({
  sounding: SOUNDING,
  recent: RECENT,
  recentSeconds: 1.2,
  lasting: LASTING,
  lastingSeconds: 5,
});

/**
 * The same prices, times a factor.
 *
 * @param factor 0 or more
 * @example scale([[1, 2], [3, 4]], 2)  // [[2, 4], [6, 8]]
 */
export function scale(prices: CommaPrices, factor: number): CommaPrices {
  return prices.map((row) => row.map((price) => factor * price));
}

/** The last row of the tables. */
const MOST_FIFTHS = 6;
const MOST_COMMAS = 3;
const COLUMNS = 2 * MOST_COMMAS + 1;

/** A table for looking up: both directions on the line of fifths, one after the other. See {@link toPriceIndex}. */
export function toPriceTable(prices: CommaPrices): Float64Array {
  const table = new Float64Array((2 * MOST_FIFTHS + 1) * COLUMNS);
  prices.forEach((row, fifths) => {
    row.forEach((price, column) => {
      const commas = column - MOST_COMMAS;
      table[toPriceIndex(fifths, commas)] = price;
      if (fifths > 0) table[toPriceIndex(-fifths, -commas)] = price;
    });
  });
  return table;
}

/**
 * Index of the price of a note some fifths and commas from another one; -1 for notes too far apart to matter to each
 * other.
 *
 * @example toPriceIndex(7, 0)  // -1
 */
export function toPriceIndex(fifths: number, commas: number): number {
  if (fifths < -MOST_FIFTHS || fifths > MOST_FIFTHS) return -1;
  const column = commas < -MOST_COMMAS ? 0 : commas > MOST_COMMAS ? 2 * MOST_COMMAS : commas + MOST_COMMAS;
  return (fifths + MOST_FIFTHS) * COLUMNS + column;
}

/**
 * Looks up a price; 0 for notes too far apart to matter to each other. More than 3 commas cost what 3 do; more than 6
 * fifths cost 0.
 *
 * @param fifths distance of the new note from the other one on the line of fifths
 * @param commas distance in commas
 * @example toCommaPrice(LIVE_PRICES.recent, 7, 1)  // 0: too far apart
 */
export function toCommaPrice(prices: CommaPrices, fifths: number, commas: number): number {
  if (fifths < 0) return toCommaPrice(prices, -fifths, -commas);
  if (fifths > MOST_FIFTHS) return 0;
  return prices[fifths][Math.max(-MOST_COMMAS, Math.min(MOST_COMMAS, commas)) + MOST_COMMAS];
}
