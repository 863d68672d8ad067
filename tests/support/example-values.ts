/**
 * Reads the value an `@example` prints, and compares what its code gave with it.
 *
 * A number with decimals holds to half of its last digit, a whole number and a text exactly. `…` is anything: in a list
 * the rest of it, in an object further fields, alone any value. `E0 4F 3B` are bytes. `throws RangeError` is an error of
 * that name. A field that is undefined counts as missing.
 */
export type Expected =
  | { kind: 'exact'; value: unknown }
  | { kind: 'decimal'; value: number; digits: number }
  | { kind: 'list'; items: Expected[]; isOpen: boolean }
  | { kind: 'fields'; fields: Map<string, Expected>; isOpen: boolean }
  | { kind: 'bytes'; text: string }
  | { kind: 'throws'; name: string }
  | { kind: 'anything' };

const WORDS: Readonly<Record<string, unknown>> = {
  true: true,
  false: false,
  null: null,
  undefined,
  NaN: Number.NaN,
  Infinity: Number.POSITIVE_INFINITY,
};

/** The value a comment begins with: it ends there, or a colon or comma follows and then prose. Undefined where there is none. */
export function readExpected(comment: string): Expected | undefined {
  const text = comment.trim();
  const bytes = /^([0-9A-F]{2}(?: [0-9A-F]{2})+)(?:[:,]|$)/.exec(text);
  if (bytes) return { kind: 'bytes', text: bytes[1] };
  const thrown = /^throws ([A-Z]\w*)(?:[:,]|$)/.exec(text);
  if (thrown) return { kind: 'throws', name: thrown[1] };
  const reader = new ValueReader(text);
  const expected = reader.value();
  return expected !== undefined && reader.isAtEnd() ? expected : undefined;
}

class ValueReader {
  readonly #text: string;
  #at = 0;

  constructor(text: string) {
    this.#text = text;
  }

  isAtEnd(): boolean {
    return /^\s*(:|,|$)/.test(this.#text.slice(this.#at));
  }

  value(): Expected | undefined {
    if (this.#take(/^…/)) return { kind: 'anything' };
    if (this.#take(/^\[/)) return this.#list();
    if (this.#take(/^\{/)) return this.#fields();
    const quoted = this.#take(/^'((?:[^'\\]|\\.)*)'/);
    if (quoted)
      return { kind: 'exact', value: JSON.parse(`"${quoted[1].replace(/"/g, '\\"').replace(/\\'/g, "'")}"`) };
    const whole = this.#take(/^(-?(?:0x[0-9a-f]+|\d[\d_]*)n?)(?![\w.])/i);
    if (whole) return { kind: 'exact', value: toWhole(whole[1].replaceAll('_', '')) };
    const decimal = this.#take(/^-?\d[\d_]*\.(\d+)(?!\w)/);
    if (decimal) {
      return { kind: 'decimal', value: Number(decimal[0].replaceAll('_', '')), digits: decimal[1].length };
    }
    const word = this.#take(/^[a-zA-Z]+\b/);
    return word && word[0] in WORDS ? { kind: 'exact', value: WORDS[word[0]] } : undefined;
  }

  #list(): Expected | undefined {
    const items: Expected[] = [];
    let isOpen = false;
    while (!this.#take(/^\]/)) {
      const item = this.value();
      if (item === undefined) return undefined;
      if (item.kind === 'anything' && /^\s*\]/.test(this.#text.slice(this.#at))) isOpen = true;
      else items.push(item);
      if (!this.#take(/^,/) && !/^\s*\]/.test(this.#text.slice(this.#at))) return undefined;
    }
    return { kind: 'list', items, isOpen };
  }

  #fields(): Expected | undefined {
    const fields = new Map<string, Expected>();
    let isOpen = false;
    while (!this.#take(/^\}/)) {
      if (this.#take(/^…/)) isOpen = true;
      else {
        const name = this.#take(/^(\w+)\s*:/);
        const value = name ? this.value() : undefined;
        if (!name || value === undefined) return undefined;
        fields.set(name[1], value);
      }
      if (!this.#take(/^,/) && !/^\s*\}/.test(this.#text.slice(this.#at))) return undefined;
    }
    return { kind: 'fields', fields, isOpen };
  }

  #take(pattern: RegExp): RegExpExecArray | null {
    const rest = this.#text.slice(this.#at);
    const bare = rest.trimStart();
    const found = pattern.exec(bare);
    if (found) this.#at += rest.length - bare.length + found[0].length;
    return found;
  }
}

function toWhole(text: string): number | bigint {
  if (text.endsWith('n')) return BigInt(text.slice(0, -1));
  return text.startsWith('-') ? -Number(text.slice(1)) : Number(text);
}

/** Whether a value is the one expected. */
export function matches(actual: unknown, expected: Expected): boolean {
  switch (expected.kind) {
    case 'anything':
      return true;
    case 'exact':
      return Object.is(actual, expected.value);
    case 'decimal': {
      const half = 0.5 * 10 ** -expected.digits;
      return typeof actual === 'number' && Math.abs(actual - expected.value) <= half * (1 + 1e-9);
    }
    case 'bytes':
      return isBytes(actual) && formatBytes(actual) === expected.text;
    case 'list': {
      if (!Array.isArray(actual) && !ArrayBuffer.isView(actual)) return false;
      const items = Array.from(actual as ArrayLike<unknown>);
      const { items: wanted, isOpen } = expected;
      if (isOpen ? items.length < wanted.length : items.length !== wanted.length) return false;
      return wanted.every((item, i) => matches(items[i], item));
    }
    case 'fields': {
      if (typeof actual !== 'object' || actual === null) return false;
      const object = actual as Record<string, unknown>;
      const isWhole = Object.keys(object).every(
        (key) => object[key] === undefined || expected.fields.has(key),
      );
      if (!expected.isOpen && !isWhole) return false;
      return [...expected.fields].every(([key, value]) => matches(object[key], value));
    }
    case 'throws':
      return false;
  }
}

function isBytes(value: unknown): value is ArrayLike<number> {
  return (
    value instanceof Uint8Array || (Array.isArray(value) && value.every((item) => typeof item === 'number'))
  );
}

/** `E0 4F 3B` */
export function formatBytes(bytes: ArrayLike<number>): string {
  return Array.from(bytes, (byte) => byte.toString(16).toUpperCase().padStart(2, '0')).join(' ');
}
