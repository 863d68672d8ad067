import { fail, type Outcome, succeed } from '../outcome.js';

/** Lowest and highest pitch of a' that `parseA4` takes, in hertz: an octave either side of 440. */
export const A4_BOUNDS_HZ = Object.freeze([220, 880] as const);

/**
 * Reads the pitch of a' (key 69) in hertz: `440`, `415.3`, `442 Hz`.
 *
 * The bounds are wide on purpose, 220 to 880, since every historical pitch and any transposition by less than
 * an octave lies within; beyond them it is a slip. Fails with `A4_TEXT` for what is no number and `A4_RANGE`.
 *
 * @example parseA4('415 Hz')  // { ok: true, value: 415 }
 */
export function parseA4(text: string): Outcome<number> {
  const advice = `Write the pitch of A in hertz, ${A4_BOUNDS_HZ[0]} to ${A4_BOUNDS_HZ[1]}, such as 440 or 415.3.`;
  const parts = /^(\d{1,6}(?:\.\d{1,12})?)(?:\s*hz)?$/i.exec(text.trim());
  if (!parts) {
    const shown = text.length > 20 ? `${text.slice(0, 20)}…` : text;
    return fail({ code: 'A4_TEXT', message: `"${shown}" is not a pitch in hertz`, advice });
  }
  const hertz = Number(parts[1]);
  if (hertz < A4_BOUNDS_HZ[0] || hertz > A4_BOUNDS_HZ[1]) {
    return fail({ code: 'A4_RANGE', message: `A at ${parts[1]} Hz is out of reach`, advice });
  }
  return succeed(hertz);
}

/**
 * How far a reference pitch shifts everything from A = 440 Hz, in cents: 1200·log2(a4 ÷ 440).
 * @param a4Hz pitch of key 69, over 0
 * @example toReferenceCents(415)  // -101.27
 */
export function toReferenceCents(a4Hz: number): number {
  return 1200 * Math.log2(a4Hz / 440);
}
