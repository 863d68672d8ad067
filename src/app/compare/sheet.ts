import type { ComparisonSheet } from '../../core/protocol/index.js';
import type { PitchPoint } from '../../core/score/index.js';
import type { Comparison } from './versions.js';

/** A glide's point this close to the straight line past it is left out: a hundredth of a cent is inaudible. */
const STRAIGHT_CENTS = 0.01;

/** A comparison as data for its page. */
export function toComparisonSheet({ lengthMs, versions }: Comparison): ComparisonSheet {
  const [first] = versions;
  return {
    lengthMs: Math.round(lengthMs),
    versions: versions.map(({ name, title }) => ({ name, title })),
    notes: first.notes.map(({ onMs, offMs }, i) => ({
      onMs: toHundredth(onMs),
      offMs: toHundredth(offMs),
      pitch: versions.map(({ notes }) =>
        straighten(notes[i].pitch).flatMap(({ atMs, cents }) => [
          toHundredth(atMs - onMs),
          Math.round(cents * 1000) / 1000,
        ]),
      ),
    })),
  };
}

/**
 * The same line with fewer points. A pitch that is steady and then moves needs two points at the corner, so that the
 * steady part doesn't sound like a glide.
 */
function straighten(pitch: readonly PitchPoint[]): PitchPoint[] {
  const line: PitchPoint[] = [];
  for (let i = 0; i < pitch.length; i++) {
    const point = pitch[i];
    const before = pitch[i - 1];
    // Between two decisions further apart than the grid of a glide the pitch was steady.
    if (before !== undefined && point.atMs - before.atMs > GRID_MS) {
      add(line, { atMs: point.atMs - GRID_MS, cents: before.cents });
    }
    add(line, point);
  }
  return line;
}

const GRID_MS = 15;

/** Adds a point; the last one is removed if it is on the line from the one before to the new one. */
function add(line: PitchPoint[], point: PitchPoint): void {
  const [a, b] = [line.at(-2), line.at(-1)];
  if (a !== undefined && b !== undefined && point.atMs > a.atMs) {
    const share = (b.atMs - a.atMs) / (point.atMs - a.atMs);
    if (Math.abs(a.cents + share * (point.cents - a.cents) - b.cents) < STRAIGHT_CENTS) line.pop();
  }
  line.push(point);
}

function toHundredth(ms: number): number {
  return Math.round(ms * 100) / 100;
}
