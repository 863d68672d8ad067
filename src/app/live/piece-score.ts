import { LIMITS, type ScoreFact, toThousandth } from '../../core/protocol/index.js';
import { toChords } from '../../core/score/index.js';
import { nameChord } from '../../core/theory/index.js';
import type { NamedPiece } from './piece-stretch.js';

/** Most keys of a chord that viewers are told. */
const MOST_KEYS = 16;

/**
 * The chords and bars of a piece, for viewers, within the bounds of `LIMITS`.
 * @example toScoreFact(piece).chords[0].keys  // [60]
 */
export function toScoreFact(piece: NamedPiece): ScoreFact {
  return {
    name: piece.name,
    chords: toChords(piece)
      .slice(0, LIMITS.chords)
      .map(({ atMs, keys }) => ({
        atMs: toThousandth(atMs),
        symbol: toSymbol(keys),
        keys: keys.slice(0, MOST_KEYS),
      })),
    barsMs: piece.barsMs.slice(0, LIMITS.bars).map(toThousandth),
  };
}

/** Where keys are spelled without a tuning: from E flat to G sharp, on the line of fifths around D. */
const MIDDLE_FIFTHS = 2;

/** The name of a chord by its keys alone; empty where it has none. */
function toSymbol(keys: readonly number[]): string {
  const notes = keys.map((key) => {
    const above = (((7 * key - MIDDLE_FIFTHS) % 12) + 12) % 12;
    const fifths = MIDDLE_FIFTHS + (above <= 6 ? above : above - 12);
    return { key, point: [0, fifths, 0, 0, 0, 0] as const };
  });
  return nameChord(notes, { fifths: 0 })?.short ?? '';
}
