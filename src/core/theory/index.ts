/** Exact pitch: vectors, ratios, interval and comma names, note names, home scales. */
export { type ExactFraction, formatRatio, parseRatio, ratio, toFraction } from './ratio.js';
export * from './vector.js';
