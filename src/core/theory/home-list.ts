import { fail, type Outcome, succeed } from '../outcome.js';
import { parseRatio } from './ratio.js';
import { type PrimeVector, toCents, UNISON } from './vector.js';

/** One step of a scale from a list, counted from the tonic. */
export interface HomeStep {
  /** 0 up to less than 1200. */
  readonly cents: number;
  /** The exact ratio, if the step was written as one. */
  readonly ratio: PrimeVector | undefined;
}

/** Twelve steps, upward from the tonic's own 0 cents. */
export type HomeList = readonly HomeStep[];

/** Longest text `parseHomeList` looks at. */
const MAX_LIST = 2000;
/** A step in cents this near 1200 counts as the octave. */
const OCTAVE_TOLERANCE_CENTS = 1e-9;

/**
 * Reads a scale of twelve steps, as one text parted by spaces, commas, semicolons or line ends, or as a list of
 * texts. A step is a ratio (`5/4`, `3:2`, `2`) or cents, which have a point or a `c` (`386.3`, `386.3c`,
 * `700c`); a bare `0` is the tonic. Ratios and cents can be mixed.
 *
 * Either twelve steps from the tonic itself (1/1 … 15/8), or twelve ending with the octave (16/15 … 2/1), or
 * both ends written, thirteen. They must rise, by any amount, and stay within an octave of exactly 2/1.
 *
 * Fails with `HOME_LIST_LONG` (over 2000 characters), `HOME_LIST_COUNT`, `HOME_LIST_STEP` (a step can't be read;
 * the message says which and why), `HOME_LIST_ENDS` (twelve steps with neither tonic nor octave, or with both)
 * and `HOME_LIST_ORDER`.
 *
 * @example
 * const list = parseHomeList('16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8 2/1');
 * list.value.slice(0, 2)  // [{ cents: 0, … }, { cents: 111.7313, … }]
 */
export function parseHomeList(list: string | readonly string[]): Outcome<HomeList> {
  if (typeof list === 'string' && list.length > MAX_LIST) {
    const message = `a home scale of ${list.length} characters is too long`;
    return fail({ code: 'HOME_LIST_LONG', message, advice: 'Give 1/1 and the eleven steps above it.' });
  }
  const texts = (typeof list === 'string' ? list.split(/[\s,;]+/) : list)
    .map((text) => text.trim())
    .filter((text) => text !== '');
  if (texts.length < 12 || texts.length > 13) {
    const message = `a home scale has twelve steps to the octave; this list has ${texts.length}`;
    return fail({ code: 'HOME_LIST_COUNT', message, advice: 'Give 1/1 and the eleven steps above it.' });
  }
  const steps: HomeStep[] = [];
  for (const [i, text] of texts.entries()) {
    const step = parseStep(text, i + 1);
    if (!step.ok) return step;
    steps.push(step.value);
  }
  return arrange(steps, texts);
}

/** Checks ends and order, and puts the tonic first. */
function arrange(steps: HomeStep[], texts: readonly string[]): Outcome<HomeList> {
  const startsAtTonic = steps[0].cents === 0;
  const endsAtOctave = Math.abs(steps[steps.length - 1].cents - 1200) <= OCTAVE_TOLERANCE_CENTS;
  const whole = steps.length === 13 ? startsAtTonic && endsAtOctave : startsAtTonic !== endsAtOctave;
  if (!whole) {
    const [first, last] = [texts[0], texts[texts.length - 1]];
    const message = `${steps.length} steps from ${first} to ${last} are not one octave of twelve`;
    const advice =
      'Give twelve steps starting at 1/1, or twelve ending at 2/1, or thirteen with both; the octave is exactly 2/1.';
    return fail({ code: 'HOME_LIST_ENDS', message, advice });
  }
  const rising = startsAtTonic ? steps : [{ cents: 0, ratio: UNISON }, ...steps];
  const names = startsAtTonic ? texts : ['1/1', ...texts];
  for (let i = 1; i < rising.length; i++) {
    if (rising[i].cents > rising[i - 1].cents && rising[i].cents <= 1200 + OCTAVE_TOLERANCE_CENTS) continue;
    const message =
      rising[i].cents > 1200
        ? `${names[i]} is wider than an octave`
        : `${names[i]} is not higher than ${names[i - 1]} before it`;
    return fail({
      code: 'HOME_LIST_ORDER',
      message,
      advice: 'Write the steps in rising order, within one octave.',
    });
  }
  return succeed(Object.freeze(rising.slice(0, 12).map((step) => Object.freeze(step))));
}

function parseStep(text: string, number: number): Outcome<HomeStep> {
  const cents = /^(\d{1,5}(?:\.\d{0,12})?)(c?)$/i.exec(text);
  if (cents && (cents[2] !== '' || text.includes('.') || Number(text) === 0)) {
    return succeed({ cents: Number(cents[1]), ratio: Number(cents[1]) === 0 ? UNISON : undefined });
  }
  const parsed = parseRatio(text);
  if (!parsed.ok) {
    const shown = text.length > 40 ? `${text.slice(0, 40)}…` : text;
    const message = `step ${number}, "${shown}", can't be read: ${parsed.problem.message}`;
    const advice =
      'Write ratios such as 5/4 (primes up to 13), or cents with a point or a c: 386.3 or 386.3c.';
    return fail({ code: 'HOME_LIST_STEP', message, advice });
  }
  if (cents && Number(text) > 2) {
    const message = `step ${number}, ${text}, is a whole number, which means the ratio ${text}/1`;
    return fail({
      code: 'HOME_LIST_STEP',
      message,
      advice: `If cents are meant, write ${text}c or ${text}.0.`,
    });
  }
  return succeed({ cents: toCents(parsed.value), ratio: parsed.value });
}
