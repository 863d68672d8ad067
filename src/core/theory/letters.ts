/**
 * A letter with its accidental, as a place on the line of fifths: F -1, C 0, G 1 … B 5, F♯ 6; B♭ -2.
 * Seven places further is the same letter with one sharp more.
 */
export interface Spelling {
  readonly letter: string;
  /** Sharps, or flats if negative. */
  readonly alteration: number;
}

/** How names are written: ♯ ♭ and raised figures, or plain ASCII (`Bb4^-1_7`) for files and logs. */
export interface NameStyle {
  readonly ascii?: boolean;
}

const LETTERS = 'FCGDAEB';
/** Keys of the letters above C, in the order of `LETTERS`. */
const LETTER_KEYS = [5, 0, 7, 2, 9, 4, 11];
/** Accidentals are repeated up to here, then counted. */
const MAX_REPEATED = 6;

/**
 * Letter and accidental of a place on the line of fifths.
 *
 * @param fifths a whole number of any size: C is 0, G 1, F -1
 * @example toSpelling(8)   // { letter: 'G', alteration: 1 }
 * @example toSpelling(-3)  // { letter: 'E', alteration: -1 }
 */
export function toSpelling(fifths: number): Spelling {
  return { letter: LETTERS[modulo(fifths + 1, 7)], alteration: Math.floor((fifths + 1) / 7) };
}

/**
 * The place on the line of fifths of a letter A to G with `alteration` sharps.
 * @example toPlace({ letter: 'E', alteration: -1 })  // -3
 */
export function toPlace({ letter, alteration }: Spelling): number {
  return LETTERS.indexOf(letter) - 1 + 7 * alteration;
}

/** The key of a letter without accidental in the octave from C, 0..11. @example toLetterKey('E')  // 4 */
export function toLetterKey(letter: string): number {
  return LETTER_KEYS[LETTERS.indexOf(letter)];
}

/**
 * The name of a place on the line of fifths. Up to six accidentals are repeated, more are counted in brackets.
 *
 * @param fifths a whole number of any size: C is 0, G 1, F -1
 * @example formatPlace(6)                   // 'F♯'
 * @example formatPlace(-10, { ascii: true })  // 'Ebb'
 * @example formatPlace(48)                  // 'F(7♯)'
 */
export function formatPlace(fifths: number, style: NameStyle = {}): string {
  const { letter, alteration } = toSpelling(fifths);
  const count = Math.abs(alteration);
  const sign = alteration < 0 ? (style.ascii ? 'b' : '♭') : style.ascii ? '#' : '♯';
  return letter + (count > MAX_REPEATED ? `(${count}${sign})` : sign.repeat(count));
}

/**
 * The octave number of a key under a given spelling, with C4 = key 60. It belongs to the letter: B♯ on key 60 is B♯3,
 * C♭ on key 59 is C♭4. The key must be one that the spelling names. Not checked.
 *
 * @param key 0..127; the octaves are -1 to 9
 * @example toOctave(60, { letter: 'B', alteration: 1 })  // 3
 */
export function toOctave(key: number, { alteration }: Spelling): number {
  return Math.floor((key - alteration) / 12) - 1;
}

/**
 * A letter name for a key without exact pitch: the name nearest to `fifthsCentre` on the line of fifths; of two equally
 * far (six fifths either way) the sharp one, F♯ round C rather than G♭.
 *
 * The twelve usual names in a major or minor key are centred on the note two fifths above its tonic: for C that is 2,
 * and gives E♭ B♭ F C G D A E B F♯ C♯ G♯.
 *
 * @param key 0..127
 * @param fifthsCentre a whole number: C is 0, G 1, F -1
 * @example spellKey(68, 2)                    // 'G♯'
 * @example spellKey(68, -1, { octave: true })  // 'A♭4'
 */
export function spellKey(
  key: number,
  fifthsCentre: number,
  style: NameStyle & { octave?: boolean } = {},
): string {
  const above = modulo(7 * key - fifthsCentre, 12);
  const place = fifthsCentre + (above <= 6 ? above : above - 12);
  return formatPlace(place, style) + (style.octave ? toOctave(key, toSpelling(place)) : '');
}

/** The remainder that is never negative. */
export function modulo(value: number, divisor: number): number {
  return ((value % divisor) + divisor) % divisor;
}
