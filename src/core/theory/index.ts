/** Exact pitch: vectors, ratios, interval and comma names, note names, home scales. */
export { decomposeComma, formatComma } from './comma-sums.js';
export { COMMAS, type CommaPart, commaName } from './commas.js';
export { describeInterval, INTERVALS, intervalName, placeInterval } from './intervals.js';
export type { NamedRatio } from './named-ratio.js';
export { type ExactFraction, formatRatio, parseRatio, ratio, toFraction } from './ratio.js';
export * from './vector.js';
