import { fail, type Outcome, type Problem, succeed } from '../../outcome.js';
import { type PrimeVector, parseRatio, parseTonic, ratio, type Tonic, toFifths } from '../../theory/index.js';
import type { PumpChord, Quality } from './chord.js';

/** A parsed formula: chords in a cycle, and the moves of the root where it gives them. */
export interface Formula {
  readonly chords: readonly PumpChord[];
  /** The move from each chord to the next, from the last to the first; undefined where common notes give it. */
  readonly moves: readonly (PrimeVector | undefined)[];
}

/** Longest formula, in characters. */
const MOST_TEXT = 600;
/** Most chords of a pass. */
export const MOST_CHORDS = 64;

/** Degrees of the major scale, on the line of fifths from its tonic. */
const DEGREES: Readonly<Record<string, number>> = { I: 0, II: 2, III: 4, IV: -1, V: 1, VI: 3, VII: 5 };

const INTERVALS: Readonly<Record<string, PrimeVector>> = {
  P5: ratio('3/2'),
  P4: ratio('4/3'),
  M3: ratio('5/4'),
  m3: ratio('6/5'),
  M6: ratio('5/3'),
  m6: ratio('8/5'),
};

type Token =
  | { readonly kind: 'chord'; readonly chord: PumpChord; readonly text: string }
  | { readonly kind: 'move'; readonly move: PrimeVector; readonly text: string };

/**
 * Reads a formula. Chords are degrees of the major scale (`I vi ii V`) or names (`C Am Dm G`): capitals for major, a
 * small letter or an m for minor, a 7 for 4:5:6:7. Or the formula has the moves of the root alone, as ratios or by name
 * (`5/6 4/3 4/3 2/3`, `-m3 +P4 +P4 -P5`), each chord a major triad. A move may also be between two chords without a
 * common note. The first chord may be repeated at the end. Fails with `PUMP_TEXT`, naming the word it doesn't
 * understand, and `PUMP_SHORT`, `PUMP_LONG`.
 *
 * @param tonic the note of I, and the first root of moves alone
 * @example
 * const formula = parseFormula('I vi ii V', { keyClass: 0, fifths: 0 });
 * formula.value.chords.map(formatChord)  // ['C', 'Am', 'Dm', 'G']
 */
export function parseFormula(text: string, tonic: Tonic): Outcome<Formula> {
  if (text.length > MOST_TEXT)
    return fail(tooLong(`it has ${text.length} characters, at most ${MOST_TEXT} are read`));
  const words = text.split(/[\s,|→–]+|(?<=[\p{L}\d#♯♭])-(?=[A-GIViv♭♯])/u).filter((word) => word !== '');
  const tokens: Token[] = [];
  for (const [i, word] of words.entries()) {
    const token = parseToken(word, tonic);
    if (!token.ok) return fail({ ...token.problem, message: `${token.problem.message} (word ${i + 1})` });
    tokens.push(token.value);
  }
  const moves = tokens.flatMap((token) => (token.kind === 'move' ? [token.move] : []));
  const outcome = moves.length === tokens.length ? fromMoves(moves, tonic) : toChords(tokens);
  if (!outcome.ok) return outcome;
  if (outcome.value.chords.length > MOST_CHORDS)
    return fail(tooLong(`it has ${outcome.value.chords.length} chords, at most ${MOST_CHORDS} are taken`));
  return outcome;
}

function parseToken(word: string, tonic: Tonic): Outcome<Token> {
  return parseMove(word) ?? parseDegree(word, tonic) ?? parseName(word) ?? fail(notUnderstood(word));
}

/** `5/6`, `5:6`, or `+P4` and `-m3`; undefined for anything else. */
function parseMove(word: string): Outcome<Token> | undefined {
  const named = /^([+\-−]?)(P5|P4|M3|m3|M6|m6)$/.exec(word);
  if (named !== null) {
    const up = INTERVALS[named[2]];
    const isUp = named[1] === '' || named[1] === '+';
    const move = isUp ? up : (up.map((exponent) => 0 - exponent) as unknown as PrimeVector);
    return succeed({ kind: 'move', move, text: word });
  }
  if (!/^\d+[/:]\d+$/.test(word)) return undefined;
  const outcome = parseRatio(word);
  return outcome.ok ? succeed({ kind: 'move', move: outcome.value, text: word }) : outcome;
}

function parseDegree(word: string, tonic: Tonic): Outcome<Token> | undefined {
  const parts = /^([#b♯♭]?)([IV]{1,3}|[iv]{1,3})(7?)$/.exec(word);
  const degree = parts === null ? undefined : DEGREES[parts[2].toUpperCase()];
  if (parts === null || degree === undefined) return undefined;
  const isMinor = parts[2] !== parts[2].toUpperCase();
  if (isMinor && parts[3] !== '') return fail(noMinorSeventh(word));
  const quality: Quality = isMinor ? 'minor' : parts[3] === '' ? 'major' : 'seventh';
  const shift = parts[1] === '' ? 0 : /[#♯]/.test(parts[1]) ? 7 : -7;
  return succeed({ kind: 'chord', chord: { fifths: tonic.fifths + degree + shift, quality }, text: word });
}

function parseName(word: string): Outcome<Token> | undefined {
  const parts = /^([A-G][#♯b♭]*)(m|min|7)?$/.exec(word);
  const root = parts === null ? undefined : parseTonic(parts[1]);
  if (parts === null || !root?.ok) return undefined;
  const quality: Quality = parts[2] === undefined ? 'major' : parts[2] === '7' ? 'seventh' : 'minor';
  return succeed({ kind: 'chord', chord: { fifths: root.value.fifths, quality }, text: word });
}

function toChords(tokens: readonly Token[]): Outcome<Formula> {
  const chords: PumpChord[] = [];
  const moves: (PrimeVector | undefined)[] = [];
  for (const [i, token] of tokens.entries()) {
    if (token.kind === 'chord') {
      chords.push(token.chord);
      moves.push(undefined);
    } else if (chords.length === 0) {
      return fail(lost(token.text, i, 'there is no chord before it'));
    } else if (moves[moves.length - 1] !== undefined) {
      return fail(lost(token.text, i, 'there is another move before it'));
    } else {
      moves[moves.length - 1] = token.move;
    }
  }
  // The move back to the first chord may be written out.
  const [first, last] = [chords[0], chords[chords.length - 1]];
  const isWrittenOut = chords.length > 1 && moves[moves.length - 1] === undefined;
  if (isWrittenOut && first.fifths === last.fifths && first.quality === last.quality) {
    chords.pop();
    moves.pop();
  }
  return chords.length < 2 ? fail(tooShort()) : succeed({ chords, moves });
}

/** Moves alone: a major triad on each root. */
function fromMoves(moves: readonly PrimeVector[], tonic: Tonic): Outcome<Formula> {
  if (moves.length < 2) return fail(tooShort());
  let { fifths } = tonic;
  const chords = moves.map((move): PumpChord => {
    const chord: PumpChord = { fifths, quality: 'major' };
    fifths += toFifths(move);
    return chord;
  });
  return succeed({ chords, moves });
}

function notUnderstood(word: string): Problem {
  const shown = word.length > 20 ? `${word.slice(0, 20)}…` : word;
  return {
    code: 'PUMP_TEXT',
    message: `"${shown}" is neither a chord nor a move of the root`,
    advice:
      'Write degrees (I vi ii V), chords (C Am Dm G7: major, minor or 4:5:6:7), or moves of the root (5/6 4/3, or -m3 +P4).',
  };
}

function noMinorSeventh(word: string): Problem {
  return {
    code: 'PUMP_TEXT',
    message: `"${word}" is a minor seventh chord, which can be tuned in several ways`,
    advice: 'Take a triad, or a seventh chord 4:5:6:7 such as V7.',
  };
}

function lost(text: string, i: number, why: string): Problem {
  return {
    code: 'PUMP_TEXT',
    message: `the move ${text} (word ${i + 1}) leads from nowhere: ${why}`,
    advice: 'A move goes between two chords, such as F 9/8 G, or all words are moves.',
  };
}

function tooShort(): Problem {
  return {
    code: 'PUMP_SHORT',
    message: 'a pump needs at least two chords',
    advice:
      'Write a row of chords that comes round to its first, such as I vi ii V; leeway pump --list names some.',
  };
}

function tooLong(why: string): Problem {
  return {
    code: 'PUMP_LONG',
    message: `the formula is too long: ${why}`,
    advice: 'Write one pass; --passes repeats it.',
  };
}
