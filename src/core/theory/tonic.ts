import { fail, type Outcome, succeed } from '../outcome.js';
import { modulo, toPlace } from './letters.js';

/** The note a scale is built on. */
export interface Tonic {
  /** 0 (C) to 11 (B). */
  readonly keyClass: number;
  /** Place on the line of fifths, which tells F♯ (6) from G♭ (-6). */
  readonly fifths: number;
}

/**
 * Reads the name of a tonic: a letter, upper or lower case, with up to two accidentals `#`, `b`, `♯` or `♭`.
 *
 * Fails with `TONIC_NAME` on any other text.
 *
 * @example parseTonic('F#')  // { ok: true, value: { keyClass: 6, fifths: 6 } }
 * @example parseTonic('E♭')  // { ok: true, value: { keyClass: 3, fifths: -3 } }
 */
export function parseTonic(text: string): Outcome<Tonic> {
  const parts = /^([A-Ga-g])([#♯]{0,2}|[b♭]{0,2})$/.exec(text.trim());
  if (!parts) {
    const shown = text.length > 20 ? `${text.slice(0, 20)}…` : text;
    const advice = 'Write a letter A to G with # or b, such as C, F# or Bb.';
    return fail({ code: 'TONIC_NAME', message: `"${shown}" is not the name of a tonic`, advice });
  }
  const sharps = /[#♯]/.test(parts[2]) ? parts[2].length : 0 - parts[2].length;
  const fifths = toPlace({ letter: parts[1].toUpperCase(), alteration: sharps });
  return succeed(Object.freeze({ keyClass: modulo(7 * fifths, 12), fifths }));
}
