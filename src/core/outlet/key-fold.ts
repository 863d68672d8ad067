import { isWithinRange } from './bend.js';

/** How far a note may sound from the key it is sent on before a nearer key is sent instead, in cents. */
const FOLD_CENTS = 100;

/** MIDI keys are 0..127. */
const TOP_KEY = 127;

/**
 * The key to send for a note, so that drift without limit sounds right: the key played while the note's own tuning
 * stays within a semitone of it and the channel can bend that far; else the key nearest the tuned pitch, so that no
 * sample is stretched; else, where only the player's bend carries it past the range, the key nearest what will sound.
 *
 * A pitch outside the MIDI keys gets key 0 or 127 and leaves the rest to the bend, which clamps if it must.
 * Hot path: allocates nothing.
 *
 * @param key            the key played, 0..127
 * @param cents          the tuned pitch, 6900 is key 69, without limit
 * @param inputBendCents what the player's own bend adds, in cents
 * @param rangeSemitones bend range of the channel, above 0; Infinity where a key can be tuned anywhere
 * @returns 0..127
 * @example decideKey(60, 6098.5, 0, 2)  // 60: within a semitone
 * @example decideKey(60, 6120, 0, 2)    // 61: drift has carried it past one
 */
export function decideKey(
  key: number,
  cents: number,
  inputBendCents: number,
  rangeSemitones: number,
): number {
  const sounding = cents + inputBendCents;
  if (Math.abs(cents - 100 * key) <= FOLD_CENTS && isWithinRange(sounding - 100 * key, rangeSemitones))
    return key;
  const tuned = toNearestKey(cents);
  return isWithinRange(sounding - 100 * tuned, rangeSemitones) ? tuned : toNearestKey(sounding);
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
