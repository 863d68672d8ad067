import { parse, TomlError } from 'smol-toml';
import { toLeewayError } from '../../app/problem-error.js';
import { findPlaces, type KeyPath, type TextPosition } from '../../app/toml-places.js';
import type { Problem } from '../../core/outcome.js';
import type { SectionName } from '../../core/settings/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import { findConflicts } from './conflicts.js';
import { readDocument, type Settings } from './read-document.js';

/** A mistake in a settings file, and its place. */
export interface PlacedMistake {
  /** The name of the file. */
  readonly path: string;
  readonly place: TextPosition;
  readonly error: LeewayError;
}

/** The contents of a settings file, or every mistake in it in the order of the file. */
export type ParsedSettings =
  | { readonly ok: true; readonly settings: Settings }
  | { readonly ok: false; readonly mistakes: readonly PlacedMistake[] };

/**
 * Reads a settings file. Reports all mistakes at once, each with its line and column: unknown keys, unreadable values,
 * conflicting settings.
 * @param path the file's name in the mistakes: `settings.toml:3:9: …`
 * @param only the one section that is read, whatever else is there; `undefined`: all
 */
export function parseSettings(bytes: Uint8Array, path: string, only?: SectionName): ParsedSettings {
  const text = new TextDecoder().decode(bytes);
  let parsed: Record<string, unknown>;
  try {
    parsed = parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    return { ok: false, mistakes: [toSyntaxMistake(error, path)] };
  }
  if (only !== undefined) parsed = Object.hasOwn(parsed, only) ? { [only]: parsed[only] } : {};
  const { settings, mistakes, toFilePath } = readDocument(parsed);
  const conflicts = findConflicts(settings);
  if (mistakes.length === 0 && conflicts.length === 0) return { ok: true, settings };

  const find = findPlaces(text);
  /** A missing setting has the place of its table. */
  const findPlace = (filePath: KeyPath, part: 'key' | 'value'): TextPosition | undefined => {
    for (let length = filePath.length; length > 0; length--) {
      const found = find(filePath.slice(0, length));
      if (found !== undefined) return (part === 'value' ? found.value : undefined) ?? found.key;
    }
    return undefined;
  };
  const toPlaced = (place: TextPosition | undefined, problem: Problem): PlacedMistake => {
    const { line, column } = place ?? { line: 1, column: 1 };
    return { path, place: { line, column }, error: toLeewayError(problem, `${path}:${line}:${column}`) };
  };
  const placed = [
    ...mistakes.map((mistake) => toPlaced(findPlace(mistake.path, mistake.part), mistake.problem)),
    ...conflicts.map(({ keys, part, other, code, message, advice }) => {
      const place = findPlace(toFilePath(keys), part);
      const otherPlace = other && findPlace(toFilePath(other), part);
      // One of the two may be a default, and not be in the file.
      const also = place === undefined || otherPlace === undefined ? '' : ` (line ${otherPlace.line})`;
      return toPlaced(place ?? otherPlace, { code, message: message + also, advice });
    }),
  ];
  placed.sort(({ place: a }, { place: b }) => a.line - b.line || a.column - b.column);
  return { ok: false, mistakes: placed };
}

/** Text that isn't TOML; the parser gives the place. */
function toSyntaxMistake({ message, line, column }: TomlError, path: string): PlacedMistake {
  const [first] = message.replace(/^Invalid TOML document: /, '').split('\n');
  const error = new LeewayError({
    code: 'SETTINGS_TOML',
    message: `${path}:${line}:${column}: This is not TOML: ${first.replace(/\.$/, '')}.`,
    advice: 'Write one setting a line, key = value, with words in quotes.',
  });
  return { path, place: { line, column }, error };
}
