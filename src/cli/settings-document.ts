import type { Reader } from './read-values.js';
import { LIST_TABLES, SETTINGS, type Settings } from './settings-schema.js';
import type { KeyPath } from './toml-places.js';

/** Any table, before its values are read. */
type RawTable = Readonly<Record<string, unknown>>;

/** The tables of a settings file, and how each key in them is read. */
export const TABLES: Readonly<Record<string, Readonly<Record<string, Reader<unknown>>>>> = SETTINGS;

/** A settings file in the shape its schema asks for. */
export interface SettingsDocument {
  /** Only tables, and a list of them for each of LIST_TABLES; what isn't a table is an empty one here. */
  readonly raw: RawTable;
  /** Where a table was due and something else stood. */
  readonly notTables: readonly KeyPath[];
  /** Where a place in `raw` is in the file: a single table that stood in single brackets has no index there. */
  readonly toFilePath: (path: KeyPath) => KeyPath;
}

/** @example toDocument({ outlet: { kind: 'mts' } }).raw  // { outlet: [{ kind: 'mts' }] } */
export function toDocument(parsed: RawTable): SettingsDocument {
  const notTables: KeyPath[] = [];
  const toTable = (value: unknown, path: KeyPath): RawTable => {
    if (isTable(value)) return value;
    notTables.push(path);
    return {};
  };
  const toTables = (value: unknown, name: string): readonly RawTable[] => {
    if (!Array.isArray(value) || value.length === 0) return [toTable(value, [name])];
    return value.map((element, i) => toTable(element, [name, i]));
  };
  const entries = Object.entries(parsed).map(([name, value]) => {
    if (!Object.hasOwn(TABLES, name)) return [name, value];
    return [name, LIST_TABLES.includes(name) ? toTables(value, name) : toTable(value, [name])];
  });
  return {
    raw: Object.fromEntries(entries),
    notTables,
    toFilePath([name, index, ...rest]) {
      if (index === undefined) return [name];
      const single = LIST_TABLES.includes(String(name)) && !isListOfTables(parsed[name]);
      return single ? [name, ...rest] : [name, index, ...rest];
    },
  };
}

/**
 * What can be read of a document with mistakes in it. A key whose value can't be read is there and `undefined`, so that
 * it differs from one that was never given.
 */
export function readWhatIsRight({ raw, notTables }: SettingsDocument): Settings {
  const broken = new Set(notTables.map((path) => JSON.stringify(path)));
  const readTable = (name: string, table: unknown, path: KeyPath) => {
    const readers = TABLES[name];
    // Of what isn't a table, nothing is known.
    if (broken.has(JSON.stringify(path)))
      return Object.fromEntries(Object.keys(readers).map((key) => [key, undefined]));
    const known = Object.entries(table as RawTable).filter(([key]) => Object.hasOwn(readers, key));
    return Object.fromEntries(known.map(([key, value]) => [key, toValue(readers[key], value)]));
  };
  const known = Object.entries(raw).filter(([name]) => Object.hasOwn(TABLES, name));
  const entries = known.map(([name, value]) => [
    name,
    Array.isArray(value)
      ? value.map((table, i) =>
          readTable(name, table, broken.has(JSON.stringify([name])) ? [name] : [name, i]),
        )
      : readTable(name, value, [name]),
  ]);
  return Object.fromEntries(entries) as Settings;
}

function toValue(read: Reader<unknown>, value: unknown): unknown {
  const outcome = read(value);
  return outcome.ok ? outcome.value : undefined;
}

/** A table, and not a list, a date or a plain value. */
function isTable(value: unknown): value is RawTable {
  return typeof value === 'object' && value !== null && !Array.isArray(value) && !(value instanceof Date);
}

function isListOfTables(value: unknown): boolean {
  return Array.isArray(value) && value.length > 0;
}
