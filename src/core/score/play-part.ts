import type { Line } from '../line/index.js';
import type { Part } from './parts.js';

/**
 * A part plays a channel message: through the line, or where it can't be tuned only heard by it, at its own pitch. What
 * a guide's line sends is up to its outlets: it has none.
 *
 * @param line   at a time `atMs` in milliseconds, which never decreases
 * @param finger of the part, 1..15; 0 for the part as a whole
 */
export function playPart(
  line: Line,
  { index, fixedCents }: Part,
  atMs: number,
  status: number,
  data1: number,
  data2: number,
  finger: number,
): void {
  if (fixedCents === undefined) line.message(atMs, index, status, data1, data2, finger);
  else line.hearFixed(atMs, index, status, data1, data2, fixedCents, finger);
}
