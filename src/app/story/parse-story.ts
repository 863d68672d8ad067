import { parse, TomlError } from 'smol-toml';
import type { ErrorCode, Outcome, Problem } from '../../core/outcome.js';
import { LIMITS } from '../../core/protocol/index.js';
import { findNearest } from '../../core/words/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import type { NamedPiece } from '../live/piece-stretch.js';
import { toPumpPiece } from '../live/pump-piece.js';
import { toLeewayError } from '../problem-error.js';
import { findPlaces, type KeyPath } from '../toml-places.js';
import {
  type Read,
  readBars,
  readPasses,
  readPlay,
  readSentence,
  readTempo,
  readText,
  readTunings,
  readView,
} from './step-values.js';
import { MOST_STEPS, STEP_KEYS, type Story, type StoryMusic, type StoryStep } from './story.js';

/** A story, or every mistake in it in the order of the file. */
export type ParsedStory =
  | { readonly ok: true; readonly story: Story }
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

type Table = Readonly<Record<string, unknown>>;
type Complain = (path: KeyPath, part: 'key' | 'value', problem: Problem) => void;

/** Where formulas begin while a story is read, to see whether they can be built. */
const C = { keyClass: 0, fifths: 0 };

/**
 * Reads a story. Reports all mistakes at once, each with its line and column.
 *
 * @param path    the file's name in the mistakes: `story.toml:3:9: …`
 * @param pieceOf a piece by the name a step gives it
 */
export function parseStory(
  text: string,
  path: string,
  pieceOf: (name: string) => Outcome<NamedPiece>,
): ParsedStory {
  let parsed: Table;
  try {
    parsed = parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    return { ok: false, mistakes: [toSyntaxMistake(error, path)] };
  }
  const mistakes: { line: number; column: number; error: LeewayError }[] = [];
  const find = findPlaces(text);
  const complain: Complain = (keys, part, problem) => {
    const place = keys.map((_, i) => find(keys.slice(0, keys.length - i))).find((one) => one !== undefined);
    const { line, column } = (part === 'value' ? place?.value : undefined) ??
      place?.key ?? { line: 1, column: 1 };
    mistakes.push({ line, column, error: toLeewayError(problem, `${path}:${line}:${column}`) });
  };
  const story = new StoryReader(complain, pieceOf).read(parsed);
  mistakes.sort((a, b) => a.line - b.line || a.column - b.column);
  return mistakes.length === 0
    ? { ok: true, story }
    : { ok: false, mistakes: mistakes.map(({ error }) => error) };
}

/** The names of the pieces that steps ask for; none of a text that isn't TOML. */
export function listStoryPieces(text: string): string[] {
  try {
    const { step } = parse(text);
    return toTables(step).flatMap(({ piece }) => (typeof piece === 'string' ? [piece] : []));
  } catch {
    return [];
  }
}

/** Reads the tables of a story, and complains of what is wrong. */
class StoryReader {
  readonly #complain: Complain;
  readonly #pieceOf: (name: string) => Outcome<NamedPiece>;

  constructor(complain: Complain, pieceOf: (name: string) => Outcome<NamedPiece>) {
    this.#complain = complain;
    this.#pieceOf = pieceOf;
  }

  read(parsed: Table): Story {
    this.#checkKeys(parsed, [], ['title', 'step']);
    const title = this.#value(parsed, [], 'title', (value) => readText(value, LIMITS.name));
    if (!('title' in parsed))
      this.#complain(
        [],
        'key',
        toProblem('STORY_VALUE', 'the story has no title', 'Begin with title = "…".'),
      );
    const tables = toTables(parsed.step);
    if (tables.length === 0 || tables.length > MOST_STEPS)
      this.#complain(
        ['step'],
        'key',
        toProblem(
          'STORY_VALUE',
          `a story of ${tables.length} steps`,
          `Write 1 to ${MOST_STEPS}, each under [[step]].`,
        ),
      );
    const steps: StoryStep[] = [];
    tables.forEach((table, i) => {
      steps.push(this.#step(table, ['step', i], steps.at(-1)));
    });
    return { title: title ?? '', steps };
  }

  /** @param before the step before: what is left out is as there */
  #step(table: Table, path: KeyPath, before: StoryStep | undefined): StoryStep {
    this.#checkKeys(table, path, Object.keys(STEP_KEYS));
    if (!('sentence' in table))
      this.#complain(
        path,
        'key',
        toProblem('STORY_VALUE', 'the step has no sentence', 'Write sentence = "…".'),
      );
    return {
      sentence: this.#value(table, path, 'sentence', readSentence) ?? '',
      music: this.#music(table, path),
      play: this.#value(table, path, 'play', readPlay),
      hear: this.#value(table, path, 'hear', readTunings) ?? before?.hear ?? [],
      show: this.#value(table, path, 'show', readView) ?? before?.show ?? 'all',
      only: this.#value(table, path, 'only', readTunings) ?? before?.only ?? [],
    };
  }

  #music(table: Table, path: KeyPath): StoryMusic | undefined {
    const bars = this.#value(table, path, 'bars', readBars);
    const tempo = this.#value(table, path, 'tempo', readTempo) ?? 1;
    const passes = this.#value(table, path, 'passes', readPasses);
    const name = this.#value(table, path, 'piece', (value) => readText(value, LIMITS.name));
    const formula = this.#value(table, path, 'formula', (value) => readText(value, LIMITS.formula));
    if (name !== undefined && formula !== undefined)
      this.#complain(
        [...path, 'formula'],
        'key',
        toProblem('STORY_VALUE', 'the step has a piece and a formula', 'Leave one of them out.'),
      );
    if (name === undefined && formula === undefined) {
      for (const key of ['bars', 'tempo', 'passes'])
        if (key in table && !('piece' in table) && !('formula' in table))
          this.#complain(
            [...path, key],
            'key',
            toProblem(
              'STORY_VALUE',
              `${key} is for a piece or a formula of the same step`,
              'Name one, or leave it out.',
            ),
          );
      return undefined;
    }
    const key = name === undefined ? 'formula' : 'piece';
    const found = name === undefined ? toPumpPiece(formula!, C) : this.#pieceOf(name);
    if (!found.ok) {
      this.#complain([...path, key], 'value', found.problem);
      return undefined;
    }
    const count = found.value.barsMs.length;
    if (bars !== undefined && bars[1] > count)
      this.#complain(
        [...path, 'bars'],
        'value',
        toProblem('STORY_VALUE', `the piece has ${count} bars`, 'Name bars that it has.'),
      );
    return { piece: name === undefined ? { formula: formula! } : found.value, bars, tempo, passes };
  }

  #value<T>(table: Table, path: KeyPath, key: string, read: (value: unknown) => Read<T>): T | undefined {
    if (!(key in table)) return undefined;
    const one = read(table[key]);
    if ('value' in one) return one.value;
    this.#complain([...path, key], 'value', toProblem('STORY_VALUE', `${key}: ${one.message}`, one.advice));
    return undefined;
  }

  #checkKeys(table: Table, path: KeyPath, known: readonly string[]): void {
    for (const key of Object.keys(table)) {
      if (known.includes(key)) continue;
      const nearest = findNearest(key, known);
      const advice = nearest === undefined ? `Known here: ${known.join(', ')}.` : `Did you mean ${nearest}?`;
      this.#complain(
        [...path, key],
        'key',
        toProblem('STORY_KEY', `a story has no key "${key}" here`, advice),
      );
    }
  }
}

function toTables(value: unknown): Table[] {
  const all = Array.isArray(value) ? value : value === undefined ? [] : [value];
  return all.filter((one): one is Table => typeof one === 'object' && one !== null && !(one instanceof Date));
}

function toProblem(code: ErrorCode, message: string, advice: string): Problem {
  return { code, message, advice };
}

/** Text that isn't TOML; the parser gives the place. */
function toSyntaxMistake({ message, line, column }: TomlError, path: string): LeewayError {
  const [first] = message.replace(/^Invalid TOML document: /, '').split('\n');
  const problem = toProblem(
    'STORY_TOML',
    `This is not TOML: ${first}`,
    'Write one key a line, key = value, with words in quotes.',
  );
  return toLeewayError(problem, `${path}:${line}:${column}`);
}
