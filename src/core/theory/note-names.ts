import { fail, type Outcome, succeed } from '../outcome.js';
import {
  formatPlace,
  modulo,
  type NameStyle,
  toLetterKey,
  toOctave,
  toPlace,
  toSpelling,
} from './letters.js';
import { type PrimeVector, toFifths, toKeys, withKeys } from './vector.js';

/** The name of 1/1: its place on the line of fifths (C 0, G 1, F -1). Its comma index is 0. */
export interface Origin {
  readonly fifths: number;
}

/** How `noteName` writes: the key number adds an octave figure (key 60 is C4), `ascii` avoids special signs. */
export interface NoteNameStyle extends NameStyle {
  readonly key?: number;
}

/** A parsed note name. */
export interface NamedPoint {
  /** Relative to the origin, octaves chosen so that it spans 0 to 11 keys. */
  readonly point: PrimeVector;
  /** The key number, if the name has an octave figure. */
  readonly key: number | undefined;
}

/** The primes with a mark, and their index in a vector. */
const MARKED = [
  [7, 3],
  [11, 4],
  [13, 5],
] as const;

const RAISED = '⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻ᵈ';
const PLAIN_RAISED = '0123456789+-d';
const LOWERED = '₀₁₂₃₄₅₆₇₈₉₊₋₍₎';
const PLAIN_LOWERED = '0123456789+-()';

/** A turn of the line of fifths: the same key under another letter. */
const TURN = 12;
/** Names are a point's own up to so many fifths from the dominant: on C from F♭ to A♯. */
const NEAR = 9;
const DOMINANT = 1;
/** The usual names of a key begin so many fifths below its tonic: from C, E♭ to G♯. */
const USUAL_FROM = -3;
/** A turn of fifths by thirds, 125/64, is an octave less a lesser diesis. */
const THIRDS_A_TURN = 3;
/** Longest name `parseNoteName` looks at. */
const MAX_TEXT = 80;

/**
 * The place on the line of fifths of the letter that `noteName` writes: the point's own while that is at most nine fifths
 * from the dominant. Beyond, it is the key's usual name, whole turns of twelve fifths nearer. So a C that has drifted
 * by dieses is still a C, and not a triple-sharp A.
 *
 * @example toNamePlace([0, 0, 2, 0, 0, 0], { fifths: 0 })  // 8: G♯
 * @example toNamePlace([0, 0, 3, 0, 0, 0], { fifths: 0 })  // 0: C, not B♯
 */
export function toNamePlace(v: PrimeVector, origin: Origin): number {
  const fifths = toFifths(v);
  const isNear = Math.abs(fifths - DOMINANT) <= NEAR;
  const near = isNear ? fifths : USUAL_FROM + modulo(fifths - USUAL_FROM, TURN);
  return near + origin.fifths;
}

/**
 * The name of a lattice point: letter and accidental from its place on the line of fifths, the octave figure if a key
 * is given, then the comma index and the marks of the higher primes.
 *
 * The comma index (C. Eitz, Das mathematisch-reine Tonsystem, 1891) counts, as raised figures, by how many syntonic
 * commas the note is above (⁺) or below (⁻) the note of that letter in the chain of pure fifths through the origin. It
 * is always written: C⁰ E⁻¹ G⁰ is the just triad.
 *
 * Where the letter is whole turns of fifths nearer than the point, a raised ᵈ counts by how many lesser dieses 128/125
 * the note is above or below it (specific to this program): C⁰ᵈ⁻² is two dieses below C⁰.
 *
 * The marks are lowered figures, specific to this program: ₇ for a factor 7 above the stroke of the ratio, ₋₇ for one
 * below, ₇₍₂₎ for two; a further prime follows with its sign, ₇₊₁₁. Each ₇ puts the note a septimal comma 64/63 lower
 * than without it, each ₁₁ 729/704 lower (60.4 cents), each ₁₃ 1053/1024 higher (48.3 cents).
 *
 * @param origin where the name of 1/1 is on the line of fifths: C is 0, G 1
 * @example noteName([-2, 0, 1, 0, 0, 0], { fifths: 0 })                     // 'E⁻¹': 5/4 over C
 * @example noteName([-2, 0, 0, 1, 0, 0], { fifths: 0 })                     // 'B♭⁰₇': 7/4 over C
 * @example noteName([-2, 0, 0, 1, 0, 0], { fifths: 0 }, { key: 70, ascii: true })  // 'Bb4^0_7'
 */
export function noteName(v: PrimeVector, origin: Origin, style: NoteNameStyle = {}): string {
  const place = toNamePlace(v, origin);
  const turns = (toFifths(v) + origin.fifths - place) / TURN;
  const octave = style.key === undefined ? '' : toOctave(style.key, toSpelling(place));
  const dieses = turns === 0 ? '' : `d${toSigned(0 - turns)}`;
  const raised = toSigned(THIRDS_A_TURN * turns - v[2]) + dieses;
  let lowered = '';
  for (const [prime, at] of MARKED) {
    const count = Math.abs(v[at]);
    if (count === 0) continue;
    lowered += v[at] < 0 ? '-' : lowered === '' ? '' : '+';
    lowered += count === 1 ? prime : `${prime}(${count})`;
  }
  const head = formatPlace(place, style) + octave;
  if (style.ascii) return `${head}^${raised}${lowered === '' ? '' : `_${lowered}`}`;
  return head + transcribe(raised, PLAIN_RAISED, RAISED) + transcribe(lowered, PLAIN_LOWERED, LOWERED);
}

function toSigned(count: number): string {
  return `${count > 0 ? '+' : ''}${count}`;
}

/**
 * Reads what `noteName` writes, in either style, for the same origin. Without index it is 0; the letter is upper case,
 * because `b` is a flat. Fails with `NOTE_NAME` on any other text.
 *
 * @example parseNoteName('E⁻¹', { fifths: 0 })      // { ok: true, value: { point: [-2, 0, 1, 0, 0, 0], key: undefined } }
 * @example parseNoteName('Bb4^0_7', { fifths: 0 })  // { ok: true, value: { point: [-2, 0, 0, 1, 0, 0], key: 70 } }
 */
export function parseNoteName(text: string, origin: Origin): Outcome<NamedPoint> {
  const plain = text.length > MAX_TEXT ? '' : toAscii(text);
  const parts =
    /^([A-G])(#*|b*|\(\d{1,9}[#b]\))(-?\d{1,3})?(?:\^([+-]?\d{1,9})(?:d([+-]?\d{1,9}))?)?(?:_([^_]+))?$/.exec(
      plain,
    );
  const marks = parts ? parseMarks(parts[6]) : undefined;
  if (!parts || !marks) {
    const shown = text.length > MAX_TEXT ? `${text.slice(0, MAX_TEXT)}…` : text;
    const advice = 'Write a letter A to G, accidentals, and a comma index: E⁻¹ or E^-1, B♭⁰₇ or Bb^0_7.';
    return fail({ code: 'NOTE_NAME', message: `"${shown}" is not a note name`, advice });
  }
  const letter = parts[1];
  const alteration = countAccidentals(parts[2]);
  const turns = 0 - Number(parts[5] ?? 0);
  const fives = THIRDS_A_TURN * turns - Number(parts[4] ?? 0);
  const [sevens, elevens, thirteens] = marks;
  // toFifths, solved for the exponent of 3.
  const place = toPlace({ letter, alteration }) + TURN * turns - origin.fifths;
  const threes = place - 4 * fives + 2 * sevens - 6 * elevens + 4 * thirteens;
  const point: PrimeVector = [0, threes, fives, sevens, elevens, thirteens];
  const key =
    parts[3] === undefined ? undefined : 12 * (Number(parts[3]) + 1) + toLetterKey(letter) + alteration;
  return succeed({ point: withKeys(point, modulo(toKeys(point), 12)), key });
}

function countAccidentals(text: string): number {
  const counted = /^\((\d+)([#b])\)$/.exec(text);
  const count = counted ? Number(counted[1]) : text.length;
  return text.includes('b') ? 0 - count : count;
}

/** Exponents of 7, 11 and 13, or undefined if the marks are not well formed. */
function parseMarks(text: string | undefined): [number, number, number] | undefined {
  const exponents: [number, number, number] = [0, 0, 0];
  let rest = text ?? '';
  for (let first = true; rest !== ''; first = false) {
    const mark = /^([+-]?)(7|11|13)(?:\((\d{1,9})\))?/.exec(rest);
    if (!mark || (mark[1] === '' && !first)) return undefined;
    const at = MARKED.findIndex(([prime]) => prime === Number(mark[2]));
    exponents[at] += (mark[1] === '-' ? -1 : 1) * Number(mark[3] ?? 1);
    rest = rest.slice(mark[0].length);
  }
  return exponents;
}

function toAscii(text: string): string {
  return text
    .replace(/♯/g, '#')
    .replace(/♭/g, 'b')
    .replace(new RegExp(`[${RAISED}]+`, 'g'), (run) => `^${transcribe(run, RAISED, PLAIN_RAISED)}`)
    .replace(new RegExp(`[${LOWERED}]+`, 'g'), (run) => `_${transcribe(run, LOWERED, PLAIN_LOWERED)}`);
}

function transcribe(text: string, from: string, to: string): string {
  return Array.from(text, (sign) => to[from.indexOf(sign)]).join('');
}
