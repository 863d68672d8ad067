import { parse } from 'smol-toml';

/** Where something stands in a text: both count from 1, the way editors do. */
export interface Place {
  readonly line: number;
  readonly column: number;
}

/** Where the key of a setting stands, and its value; `value` is missing for tables that are only headed. */
export interface SettingPlace {
  readonly key: Place;
  readonly value: Place | undefined;
}

/** Keys from the outermost table inward; elements of lists by their index. */
export type KeyPath = readonly (string | number)[];

/**
 * Where the keys and values of a TOML document stand, since its parser tells that of syntax errors only.
 *
 * The text must be valid TOML 1.0: it is not checked again. Linear in its length.
 *
 * @example findPlaces('[tuning]\nleeway = 900')(['tuning', 'leeway'])
 *   // { key: { line: 2, column: 1 }, value: { line: 2, column: 10 } }
 */
export function findPlaces(toml: string): (path: KeyPath) => SettingPlace | undefined {
  const walker = new Walker(toml);
  walker.walk();
  return (path) => walker.find(path);
}

const SPACE = /[ \t]*/y;
const SPACE_AND_COMMENTS = /(?:[ \t\r\n]|#[^\n]*)*/y;
const BARE_KEY = /[A-Za-z0-9_-]+/y;
const BARE_VALUE = /[^,\]}#\r\n]*/y;
const STRING = /"""(?:[^\\]|\\[\s\S])*?"{3,5}|'''[\s\S]*?'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'/y;

class Walker {
  readonly #text: string;
  /** Where each line begins. */
  readonly #lines: number[] = [0];
  readonly #places = new Map<string, { key: number; value: number | undefined }>();
  /** How many elements each list of tables has so far. */
  readonly #counts = new Map<string, number>();
  #at = 0;

  constructor(text: string) {
    this.#text = text;
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) this.#lines.push(at + 1);
  }

  find(path: KeyPath): SettingPlace | undefined {
    const found = this.#places.get(toId(path));
    if (found === undefined) return undefined;
    return {
      key: this.#toPlace(found.key),
      value: found.value === undefined ? undefined : this.#toPlace(found.value),
    };
  }

  walk(): void {
    let table: KeyPath = [];
    for (;;) {
      this.#skip(SPACE_AND_COMMENTS);
      if (this.#at >= this.#text.length) return;
      if (this.#text[this.#at] === '[') table = this.#header();
      else this.#pair(table);
    }
  }

  #header(): KeyPath {
    const list = this.#text.startsWith('[[', this.#at);
    this.#at += list ? 2 : 1;
    const start = this.#at;
    const path = this.#keys([]);
    this.#at += list ? 2 : 1;
    if (!list) return path;
    const index = this.#counts.get(toId(path)) ?? 0;
    this.#counts.set(toId(path), index + 1);
    const element = [...path, index];
    this.#places.set(toId(element), { key: start, value: undefined });
    return element;
  }

  #pair(table: KeyPath): void {
    const path = this.#keys(table);
    this.#at += 1; // the equals sign
    this.#skip(SPACE);
    this.#value(path);
  }

  /** Reads a dotted key below `base`; the cursor ends at what follows it. */
  #keys(base: KeyPath): KeyPath {
    let path = base;
    for (;;) {
      this.#skip(SPACE);
      const start = this.#at;
      path = [...path, this.#key()];
      if (!this.#places.has(toId(path))) this.#places.set(toId(path), { key: start, value: undefined });
      this.#skip(SPACE);
      if (this.#text[this.#at] !== '.') return path;
      this.#at += 1;
      // A header below a list of tables, [many.inner], speaks of its last one.
      const count = this.#counts.get(toId(path));
      if (count !== undefined) path = [...path, count - 1];
    }
  }

  #key(): string {
    const bare = this.#skip(BARE_KEY);
    if (bare !== '') return bare;
    const quoted = this.#skip(STRING);
    // The parser knows all escapes there are.
    return quoted.includes('\\') ? String(parse(`key = ${quoted}`).key) : quoted.slice(1, -1);
  }

  #value(path: KeyPath): void {
    const place = this.#places.get(toId(path));
    if (place === undefined) this.#places.set(toId(path), { key: this.#at, value: this.#at });
    else place.value = this.#at;
    const sign = this.#text[this.#at];
    if (sign === '[') this.#list(']', (i) => this.#value([...path, i]));
    else if (sign === '{') this.#list('}', () => this.#pair(path));
    else if (sign === '"' || sign === "'") this.#skip(STRING);
    else this.#skip(BARE_VALUE);
  }

  #list(end: string, element: (index: number) => void): void {
    this.#at += 1;
    for (let i = 0; ; i++) {
      this.#skip(SPACE_AND_COMMENTS);
      if (this.#text[this.#at] === end || this.#at >= this.#text.length) break;
      element(i);
      this.#skip(SPACE_AND_COMMENTS);
      if (this.#text[this.#at] === ',') this.#at += 1;
    }
    this.#at += 1;
  }

  /** Moves past a pattern and gives back what it matched; nothing if it doesn't. */
  #skip(pattern: RegExp): string {
    pattern.lastIndex = this.#at;
    const found = pattern.exec(this.#text)?.[0] ?? '';
    this.#at += found.length;
    return found;
  }

  #toPlace(offset: number): Place {
    let line = 0;
    for (let step = 1 << 30; step > 0; step >>= 1) {
      if (line + step < this.#lines.length && this.#lines[line + step] <= offset) line += step;
    }
    return { line: line + 1, column: offset - this.#lines[line] + 1 };
  }
}

function toId(path: KeyPath): string {
  return JSON.stringify(path);
}
