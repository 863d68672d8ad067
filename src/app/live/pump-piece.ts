import { type Outcome, succeed } from '../../core/outcome.js';
import { LIMITS, toLength } from '../../core/protocol/index.js';
import { toPiece } from '../../core/score/index.js';
import type { Tonic } from '../../core/theory/index.js';
import { buildPump } from '../pump.js';
import type { NamedPiece } from './piece-stretch.js';

/** A chord lasts so long. */
const SECONDS_PER_CHORD = 2;

/**
 * A comma pump in a choir's four voices, its common notes tied, as a piece under its formula. Fails with the problems of
 * `buildPump`.
 *
 * @param formula chords or moves, or the name of a classic pump
 * @example toPumpPiece('I vi ii V', { keyClass: 0, fifths: 0 }).value.lengthMs  // 10000
 */
export function toPumpPiece(formula: string, tonic: Tonic): Outcome<NamedPiece> {
  // A pass ends with its first chord: with the next pass it is struck again where it is then.
  const options = { text: formula, tonic, voices: 4, passes: 1, tied: true } as const;
  const built = buildPump({ ...options, secondsPerChord: SECONDS_PER_CHORD });
  if (!built.ok) return built;
  const piece = toPiece(built.value.file);
  const name = toLength(formula.trim(), LIMITS.name);
  return succeed({ ...piece, name, title: toLength(piece.title || name, LIMITS.text) });
}
