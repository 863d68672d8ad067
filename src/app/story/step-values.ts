import { TEMPO_RANGE, TUNINGS, type Tuning, VIEWS, type View } from '../../core/protocol/index.js';
import { findNearest } from '../../core/words/index.js';
import { MOST_PASSES, MOST_SENTENCE, PLAYS, type Play } from './story.js';

/** A value that was read, or what is wrong with it and what to do. */
export type Read<T> = { readonly value: T } | { readonly message: string; readonly advice: string };

/** A text with something in it. @param most characters */
export function readText(value: unknown, most: number): Read<string> {
  if (typeof value !== 'string' || value.trim() === '')
    return { message: 'this is not a text in quotes', advice: 'Write words in quotes.' };
  if (value.length > most)
    return { message: `this has ${value.length} characters`, advice: `Write at most ${most}.` };
  return { value: value.trim() };
}

export const readSentence = (value: unknown): Read<string> => readText(value, MOST_SENTENCE);

/** One of some words. */
function readWord<T extends string>(value: unknown, words: readonly T[]): Read<T> {
  const known = words.find((one) => one === value);
  if (known !== undefined) return { value: known };
  const nearest = typeof value === 'string' ? findNearest(value, words) : undefined;
  return {
    message: `${toShown(value)} is none of ${words.join(', ')}`,
    advice: nearest === undefined ? `Write one of them in quotes.` : `Did you mean "${nearest}"?`,
  };
}

export const readView = (value: unknown): Read<View> => readWord(value, VIEWS);
export const readPlay = (value: unknown): Read<Play> => readWord(value, PLAYS);

/** One tuning, or a list of them. */
export function readTunings(value: unknown): Read<Tuning[]> {
  const read = (Array.isArray(value) ? value : [value]).map((one: unknown) => readWord(one, TUNINGS));
  const wrong = read.find((one) => 'message' in one);
  if (wrong !== undefined && 'message' in wrong) return wrong;
  const tunings = read.flatMap((one) => ('value' in one ? [one.value] : []));
  if (tunings.length > 0 && tunings.length <= TUNINGS.length) return { value: tunings };
  return {
    message: `this is a list of ${tunings.length}`,
    advice: `Write one to ${TUNINGS.length} tunings.`,
  };
}

export const readTempo = (value: unknown): Read<number> =>
  readNumber(value, TEMPO_RANGE.least, TEMPO_RANGE.most);

export function readPasses(value: unknown): Read<number> {
  const read = readNumber(value, 1, MOST_PASSES);
  return 'value' in read && !Number.isInteger(read.value)
    ? { message: `${toShown(value)} is not a whole number`, advice: 'Write a whole number.' }
    : read;
}

function readNumber(value: unknown, least: number, most: number): Read<number> {
  if (typeof value === 'number' && value >= least && value <= most) return { value };
  return {
    message: `${toShown(value)} is not a number from ${least} to ${most}`,
    advice: 'Write a number without quotes.',
  };
}

/** "3", 3 or "1-4". */
export function readBars(value: unknown): Read<readonly [number, number]> {
  const found = /^(\d{1,5})(?: ?[-–] ?(\d{1,5}))?$/.exec(String(value));
  const [from, to] = [Number(found?.[1]), Number(found?.[2] ?? found?.[1])];
  if (from >= 1 && to >= from) return { value: [from, to] };
  return { message: `${toShown(value)} names no bars`, advice: 'Write a bar, "3", or a row of them, "1-4".' };
}

function toShown(value: unknown): string {
  const text = typeof value === 'string' ? `"${value}"` : String(value);
  return text.length > 40 ? `${text.slice(0, 39)}…` : text;
}
