/** Exact pitch: vectors, ratios, interval and comma names, note names, home scales. */
export * from './vector.js';
