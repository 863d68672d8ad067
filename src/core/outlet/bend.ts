import { BEND_CENTRE, FOURTEEN_BIT_MAX } from '../midi/index.js';

/** Receives the answer of {@link decideBend}, so that deciding allocates nothing. */
export interface Bend {
  /** 0..16383; 8192 is no bend. */
  value: number;
  /** Whether the wanted pitch was beyond the range. */
  clamped: boolean;
}

/**
 * The pitch-bend value that makes a key sound `offsetCents` away from its own pitch in 12 equal.
 *
 * Rounds once, here; callers keep exact pitch and never the bend, so error can't build up: it is at most half a step,
 * 50·range/8192 cents. Beyond the range it clamps and sets `out.clamped`: a synth can't bend beyond its set range. The
 * top of the scale is one step short of the range (16383 of 16384), so the whole range upward is already clamped. Hot
 * path: allocates nothing.
 *
 * @param offsetCents    wanted distance from the key, in cents, without limit
 * @param rangeSemitones bend range the receiving channel was given by RPN 0, above 0
 * @param out            receives `value` 0..16383 (8192 is no bend) and `clamped`
 * @see MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Change; MPE 1.1, Appendix C, for the sender's formula
 * @example
 * const out = { value: 0, clamped: false };
 * decideBend(-13.686, 2, out);  // out.value === 7631: the major third of 4:5:6
 */
export function decideBend(offsetCents: number, rangeSemitones: number, out: Bend): void {
  const value = toSteps(offsetCents, rangeSemitones) + BEND_CENTRE;
  out.clamped = value < 0 || value > FOURTEEN_BIT_MAX;
  out.value = Math.min(Math.max(value, 0), FOURTEEN_BIT_MAX);
}

/**
 * Whether a channel can bend a key that far without clamping. An endless range reaches everywhere.
 *
 * @param offsetCents    wanted distance from the key, in cents
 * @param rangeSemitones bend range of the channel, above 0; may be Infinity
 * @example isWithinRange(200, 2)  // false: the top step is 199.98 cents
 */
export function isWithinRange(offsetCents: number, rangeSemitones: number): boolean {
  const steps = toSteps(offsetCents, rangeSemitones);
  return steps >= -BEND_CENTRE && steps <= FOURTEEN_BIT_MAX - BEND_CENTRE;
}

/**
 * How far a pitch-bend value bends, in cents: the inverse of {@link decideBend} up to its rounding.
 *
 * @param value          0..16383
 * @param rangeSemitones the range the bend was sent under, above 0
 * @see MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Change
 * @example toBendCents(10240, 2)  // 50
 */
export function toBendCents(value: number, rangeSemitones: number): number {
  return ((value - BEND_CENTRE) * 100 * rangeSemitones) / BEND_CENTRE;
}

/** Steps of 100·range/8192 cents, rounded: the one place where a pitch loses its exactness. */
function toSteps(offsetCents: number, rangeSemitones: number): number {
  return Math.round((offsetCents * BEND_CENTRE) / (100 * rangeSemitones));
}

/** How far a new note's tuning may be from the key it is sent on before a nearer key is sent instead, in cents. */
export const FOLD_CENTS = 100;

/** MIDI keys are 0..127. */
const TOP_KEY = 127;

/**
 * The key to send for a note under unlimited drift. The key played, while the note's tuning is within a semitone and the
 * range carries tuning and wheel. Else the key nearest the tuned pitch, so that no sample is stretched, and so that the
 * note comes back to its own pitch when the wheel does. A pitch outside the MIDI keys gets key 0 or 127, and the bend
 * clamps if it must. Hot path: allocates nothing.
 *
 * @param key            the key played, 0..127
 * @param cents          the tuned pitch, 6900 is key 69, without limit
 * @param inputBendCents what the player's own bend adds, in cents
 * @param rangeSemitones bend range of the channel, above 0; Infinity where a key can be tuned anywhere
 * @returns 0..127
 * @example decideKey(60, 6098.5, 0, 2)   // 60: within a semitone
 * @example decideKey(60, 6120, 0, 2)     // 61: drift has carried it past one
 * @example decideKey(60, 6000, 1200, 2)  // 60: the wheel gives way
 */
export function decideKey(
  key: number,
  cents: number,
  inputBendCents: number,
  rangeSemitones: number,
): number {
  const sounding = cents + inputBendCents;
  const isNear = Math.abs(cents - 100 * key) <= FOLD_CENTS;
  return isNear && isWithinRange(sounding - 100 * key, rangeSemitones) ? key : toNearestKey(cents);
}

/**
 * As much of the player's bend as the range carries beside a note's tuning: all of it, or what is left. Never the
 * opposite of what the player asked for: where the tuning alone is beyond the range, 0. Hot path: allocates nothing.
 *
 * @param inputBendCents the player's own bend, in cents
 * @param offsetCents    the note's tuned pitch, off the key it is sent on, in cents
 * @param rangeSemitones bend range of the channel, above 0
 * @example toCarriedBend(1200, 13.3, 2)  // 186.676: the top step of the range is 199.976
 * @example toCarriedBend(100, 13.3, 2)   // 100
 */
export function toCarriedBend(inputBendCents: number, offsetCents: number, rangeSemitones: number): number {
  if (isWithinRange(offsetCents + inputBendCents, rangeSemitones)) return inputBendCents;
  if (inputBendCents < 0) {
    const bottom = toBendCents(0, rangeSemitones);
    return Math.max(inputBendCents, Math.min(0, bottom - offsetCents));
  }
  const top = toBendCents(FOURTEEN_BIT_MAX, rangeSemitones);
  return Math.min(inputBendCents, Math.max(0, top - offsetCents));
}

/**
 * The MIDI key nearest a pitch, 0..127; a pitch half way goes up.
 *
 * @param cents 6900 is key 69, without limit
 * @example toNearestKey(13_500)  // 127: there is no key 135
 */
export function toNearestKey(cents: number): number {
  return Math.min(Math.max(Math.round(cents / 100), 0), TOP_KEY);
}
