import { parse } from 'smol-toml';

/** A place in a text: both count from 1, as in editors. */
export interface TextPosition {
  readonly line: number;
  readonly column: number;
}

/** The places of a setting's key and its value; tables with only a header have no `value`. */
export interface SettingPlace {
  readonly key: TextPosition;
  readonly value: TextPosition | undefined;
}

/** Keys from the outermost table inward; elements of lists by their index. */
export type KeyPath = readonly (string | number)[];

const SPACE = /[ \t]*/y;
const SPACE_AND_COMMENTS = /(?:[ \t\r\n]|#[^\n]*)*/y;
const BARE_KEY = /[A-Za-z0-9_-]+/y;
const BARE_VALUE = /[^,\]}#\r\n]*/y;
const STRING = /"""(?:[^\\]|\\[\s\S])*?"{3,5}|'''[\s\S]*?'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'/y;

/**
 * The places of the keys and values of a TOML document, since its parser gives only those of syntax errors. The text
 * must be valid TOML: it is not checked again. Linear in its length.
 *
 * @example findPlaces('[tuning]\nleeway = 900')(['tuning', 'leeway'])
 *   // { key: { line: 2, column: 1 }, value: { line: 2, column: 10 } }
 */
export function findPlaces(toml: string): (path: KeyPath) => SettingPlace | undefined {
  const places = new Map<string, { key: number; value: number | undefined }>();
  /** How many elements each list of tables has so far. */
  const counts = new Map<string, number>();
  const toPlace = createPlacer(toml);
  let at = 0;

  /** Moves past a pattern and returns its match; nothing without a match. */
  const skip = (pattern: RegExp): string => {
    pattern.lastIndex = at;
    const found = pattern.exec(toml)?.[0] ?? '';
    at += found.length;
    return found;
  };

  const readKey = (): string => {
    const bare = skip(BARE_KEY);
    if (bare !== '') return bare;
    const quoted = skip(STRING);
    // The parser has read all escapes.
    return quoted.includes('\\') ? String(parse(`key = ${quoted}`).key) : quoted.slice(1, -1);
  };

  /** A dotted key below `base`; ends at what follows it. */
  const readKeys = (base: KeyPath): KeyPath => {
    skip(SPACE);
    const start = at;
    const path = [...base, readKey()];
    if (!places.has(toId(path))) places.set(toId(path), { key: start, value: undefined });
    skip(SPACE);
    if (toml[at] !== '.') return path;
    at += 1;
    // A header below a list of tables, [many.inner], refers to its last one.
    const count = counts.get(toId(path));
    return readKeys(count === undefined ? path : [...path, count - 1]);
  };

  const readHeader = (): KeyPath => {
    const brackets = toml.startsWith('[[', at) ? 2 : 1;
    at += brackets;
    const start = at;
    const path = readKeys([]);
    at += brackets;
    if (brackets === 1) return path;
    const index = counts.get(toId(path)) ?? 0;
    counts.set(toId(path), index + 1);
    places.set(toId([...path, index]), { key: start, value: undefined });
    return [...path, index];
  };

  const readPair = (table: KeyPath): void => {
    const path = readKeys(table);
    at += 1; // the equals sign
    skip(SPACE);
    readValue(path);
  };

  const readValue = (path: KeyPath): void => {
    places.set(toId(path), { key: places.get(toId(path))?.key ?? at, value: at });
    if (toml[at] === '[') readList(']', (i) => readValue([...path, i]));
    else if (toml[at] === '{') readList('}', () => readPair(path));
    else skip(toml[at] === '"' || toml[at] === "'" ? STRING : BARE_VALUE);
  };

  const readList = (end: string, readElement: (index: number) => void): void => {
    at += 1;
    for (let i = 0; ; i++) {
      skip(SPACE_AND_COMMENTS);
      if (toml[at] === end || at >= toml.length) break;
      readElement(i);
      skip(SPACE_AND_COMMENTS);
      if (toml[at] === ',') at += 1;
    }
    at += 1;
  };

  let table: KeyPath = [];
  for (skip(SPACE_AND_COMMENTS); at < toml.length; skip(SPACE_AND_COMMENTS)) {
    if (toml[at] === '[') table = readHeader();
    else readPair(table);
  }
  return (path) => {
    const found = places.get(toId(path));
    if (found === undefined) return undefined;
    const value = found.value === undefined ? undefined : toPlace(found.value);
    return { key: toPlace(found.key), value };
  };
}

/** Finds the line and column of an offset, by bisection. */
function createPlacer(text: string): (offset: number) => TextPosition {
  const lines = [0];
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) lines.push(at + 1);
  return (offset) => {
    let line = 0;
    for (let step = 1 << 30; step > 0; step >>= 1)
      if (line + step < lines.length && lines[line + step] <= offset) line += step;
    return { line: line + 1, column: offset - lines[line] + 1 };
  };
}

function toId(path: KeyPath): string {
  return JSON.stringify(path);
}
