import type { DriftFact, PassFact, Tuning } from '../../core/protocol/index.js';
import { count, formatMove } from '../../core/words/index.js';
import { nameTuning } from './tunings.js';

/** Cents to a tenth, as a whole number of tenths: what words and figures are made from, so that they add up. */
function toTenths(cents: number): number {
  return Math.round(cents * 10) + 0;
}

/** Tenths of a cent without sign, in words. */
function sayTenths(tenths: number): string {
  return `${(Math.abs(tenths) / 10).toFixed(1)} cents`;
}

/** A drift with its direction. @example sayDrift(-21.506)  // '21.5 cents low' */
export function sayDrift(cents: number): string {
  const tenths = toTenths(cents);
  return tenths === 0 ? 'where it began' : `${sayTenths(tenths)} ${tenths < 0 ? 'low' : 'high'}`;
}

/** The drift as a signed figure. @example figureOf(-21.506)  // '−21.5' */
export function figureOf(cents: number): string {
  const tenths = toTenths(cents);
  const sign = tenths === 0 ? '' : tenths < 0 ? '−' : '+';
  return `${sign}${(Math.abs(tenths) / 10).toFixed(1)}`;
}

/**
 * How a drift comes about: what the chords moved by commas, what was given back, and what is left. Its figures add up,
 * to the tenth of a cent.
 *
 * @example
 * const drift = { comma: '−2 syntonic commas', commaCents: -43.013, backCents: 35.013, leftCents: -8 };
 * sayAccount(drift)  // 'The chords moved 2 syntonic commas lower: 43.0 cents. 35.0 cents were given back: 8.0 cents low.'
 */
export function sayAccount({
  comma,
  commaCents,
  backCents,
  leftCents,
}: Pick<DriftFact, 'comma' | 'commaCents' | 'backCents' | 'leftCents'>): string {
  const moved = toTenths(commaCents);
  const left = toTenths(leftCents);
  // As a difference of what is shown: two rounded figures and their rounded sum may differ.
  const back = Math.abs(backCents) < 0.001 ? 0 : left - moved;
  const end = left === 0 ? 'nothing is left' : `${sayTenths(left)} ${left < 0 ? 'low' : 'high'}`;
  if (moved === 0 && back === 0) return 'The chords are where they began.';
  const deed = `were moved ${sayTenths(back)} ${back < 0 ? 'lower' : 'higher'}`;
  if (moved === 0) return `No comma so far. All chords ${deed}.`;
  const commas = `The chords moved ${formatMove(comma)}: ${sayTenths(moved)}.`;
  if (back === 0) return left === moved ? commas : `${commas} Now ${end}.`;
  const isGiven = back < 0 !== moved < 0;
  return isGiven
    ? `${commas} ${sayTenths(back)} were given back: ${end}.`
    : `${commas} Besides, all chords ${deed}: ${end}.`;
}

/** How a tuning stood after the last whole pass; empty before the second. */
export function sayPasses(passes: readonly PassFact[], tuning: Tuning): string {
  const pass = passes.at(-1);
  if (pass === undefined || pass.n < 2) return '';
  const cents = tuning === 'equal' ? 0 : pass.left[tuning];
  return `After ${count(pass.n - 1, 'pass', 'passes')} ${nameTuning(tuning)} was ${sayDrift(cents)}.`;
}

/** The state of the music in a sentence. @param hasPlayed whether a note has sounded */
export function sayHeadline(
  drift: DriftFact,
  tuning: Tuning,
  passes: readonly PassFact[],
  hasPlayed: boolean,
): string {
  if (!hasPlayed) return 'Play something, or start a piece.';
  if (tuning === 'equal') return '12 equal stays where it began.';
  return [sayAccount(drift), sayPasses(passes, tuning)].filter((words) => words !== '').join(' ');
}
