import { fail, type Outcome, succeed } from '../outcome.js';
import type { HomeList } from './home-list.js';
import { modulo, toPlace } from './letters.js';
import { ratio } from './ratio.js';
import { type PrimeVector, toDeviationCents, toKeys, withKeys } from './vector.js';

/** The kinds of home scale that need nothing but a tonic. */
export type BuiltInHomeKind = 'equal' | 'just' | 'meantone' | 'pythagorean';

/** The user's choice: a kind on a tonic, or a list of twelve steps on a tonic. */
export type HomeChoice =
  | { readonly kind: BuiltInHomeKind; readonly tonic: Tonic }
  | { readonly kind: 'list'; readonly tonic: Tonic; readonly list: HomeList };

/** The tuning that drift is measured from. Frozen, and plain data. */
export interface Home {
  readonly kind: HomeChoice['kind'];
  readonly tonic: Tonic;
  /**
   * The pitch of each key class at home, from C up: cents from its pitch in 12 equal. That of the tonic is always 0;
   * the reference pitch of A is not in it (`toReferenceCents`).
   */
  readonly deviationCents: readonly number[];
  /**
   * The lattice point of each key class at home, from C up, relative to the tonic; it spans (keyClass - tonic) mod 12
   * keys. Just and Pythagorean homes and the ratios of a list give such points. For 12 equal, meantone and steps in
   * cents, which have no ratio, it is the point of the just scale.
   */
  readonly points: readonly PrimeVector[];
}

/**
 * The chromatic scale of 5-limit just intonation. The seventh is 9/5, not 16/9: it makes a pure minor third
 * with the fifth and a pure fifth with the minor third, so that i7 (10:12:15:18) is just on the tonic. With
 * 16/9 it would be just with the fourth only, by a chain of fifths that a Pythagorean home gives anyway.
 */
export const JUST_SCALE: readonly PrimeVector[] = Object.freeze(
  ['1/1', '16/15', '9/8', '6/5', '5/4', '4/3', '45/32', '3/2', '8/5', '5/3', '9/5', '15/8'].map(ratio),
);

/** The fifth of quarter-comma meantone, 5^(1/4): four of them are two octaves and a pure third. 696.578 cents. */
export const MEANTONE_FIFTH_CENTS = 300 * Math.log2(5);

/** Fifths that a chromatic scale extends down and up from its tonic: from C, E♭ to G♯. */
const FIFTHS_DOWN = 3;

/**
 * Builds a home scale. Can't fail: tonic and list come from `parseTonic` and `parseHomeList`.
 *
 * - `equal`: 12 equal.
 * - `just`: `JUST_SCALE` on the tonic.
 * - `meantone`: quarter-comma (P. Aaron, 1523), its twelve notes three fifths down and eight up from the tonic;
 *   on C that is E♭ to G♯, the wolf between those two.
 * - `pythagorean`: pure fifths over the same twelve notes, so that the wolf is where meantone has it.
 * - `list`: twelve steps of the user's.
 *
 * @example toHome({ kind: 'just', tonic: { keyClass: 0, fifths: 0 } }).deviationCents[4]      // -13.686
 * @example toHome({ kind: 'meantone', tonic: { keyClass: 0, fifths: 0 } }).deviationCents[7]  // -3.422
 */
export function toHome(choice: HomeChoice): Home {
  const { kind, tonic } = choice;
  const deviations: number[] = [];
  const points: PrimeVector[] = [];
  for (let keyClass = 0; keyClass < 12; keyClass++) {
    const degree = modulo(keyClass - tonic.keyClass, 12);
    const point = toPoint(choice, degree);
    points.push(Object.freeze(point));
    deviations.push(toDeviation(choice, degree, point));
  }
  return freeze({ kind, tonic, deviationCents: deviations, points });
}

/**
 * The same scale on another tonic.
 *
 * @param tonic `keyClass` 0..11; another spelling of the same key makes another home
 * @example
 * const justOnC = toHome({ kind: 'just', tonic: { keyClass: 0, fifths: 0 } });
 * moveHome(justOnC, { keyClass: 2, fifths: 2 }).deviationCents[6]  // -13.686: F♯ is the third now
 */
export function moveHome(home: Home, tonic: Tonic): Home {
  const shift = modulo(home.tonic.keyClass - tonic.keyClass, 12);
  const { kind, deviationCents, points } = home;
  const turn = <T>(steps: readonly T[]) => steps.map((_, keyClass) => steps[modulo(keyClass + shift, 12)]);
  return freeze({ kind, tonic, deviationCents: turn(deviationCents), points: turn(points) });
}

function freeze({ kind, tonic, deviationCents, points }: Home): Home {
  return Object.freeze({
    kind,
    tonic: Object.freeze({ ...tonic }),
    deviationCents: Object.freeze(deviationCents),
    points: Object.freeze(points),
  });
}

function toPoint(choice: HomeChoice, degree: number): PrimeVector {
  if (choice.kind === 'pythagorean') return withKeys([0, toFifthsOfDegree(degree), 0, 0, 0, 0], degree);
  if (choice.kind === 'list') {
    const own = choice.list[degree].ratio;
    // A ratio nearer another key (9/8 as the first of twelve steps, say) can't be the key's point.
    if (own && toKeys(own) === degree) return own;
  }
  return JUST_SCALE[degree];
}

function toDeviation(choice: HomeChoice, degree: number, point: PrimeVector): number {
  switch (choice.kind) {
    case 'equal':
      return 0;
    case 'meantone':
      // `+ 0` because no fifths times a negative step is -0.
      return toFifthsOfDegree(degree) * (MEANTONE_FIFTH_CENTS - 700) + 0;
    case 'list':
      return choice.list[degree].cents - 100 * degree;
    case 'just':
    case 'pythagorean':
      return toDeviationCents(point);
  }
}

/** How many fifths up from the tonic the note `degree` keys above it is found, -3 to 8. */
function toFifthsOfDegree(degree: number): number {
  return modulo(7 * degree + FIFTHS_DOWN, 12) - FIFTHS_DOWN;
}

/** The note a scale is built on. */
export interface Tonic {
  /** 0 (C) to 11 (B). */
  readonly keyClass: number;
  /** Place on the line of fifths, which distinguishes F♯ (6) from G♭ (-6). */
  readonly fifths: number;
}

/**
 * Reads the name of a tonic: a letter, upper or lower case, with up to two accidentals `#`, `b`, `♯` or `♭`. Fails with
 * `TONIC_NAME` on any other text.
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

/** Lowest and highest pitch of a' that `parseA4` takes, in hertz: an octave either side of 440. */
export const A4_BOUNDS_HZ = Object.freeze([220, 880] as const);

/**
 * Reads the pitch of a' (key 69) in hertz: `440`, `415.3`, `442 Hz`.
 *
 * The bounds, 220 to 880, include every historical pitch and any transposition by less than an octave. Fails with
 * `A4_TEXT` for what is no number and `A4_RANGE`.
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
