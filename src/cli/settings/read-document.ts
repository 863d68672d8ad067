import type { KeyPath } from '../../app/toml-places.js';
import {
  SECTIONS,
  type SETTINGS,
  type SectionName,
  type Table,
  type Values,
} from '../../core/settings/index.js';
import { type Mistake, toBadValue, toNotTable, toUnknownKey } from './mistakes.js';
import { readValue } from './read-value.js';

/** The read values of a settings file. Missing ones have their defaults. */
export interface Settings {
  readonly tuning?: Values<typeof SETTINGS.tuning>;
  readonly track?: readonly Values<typeof SETTINGS.track>[];
  readonly input?: readonly Values<typeof SETTINGS.input>[];
  readonly split?: readonly Values<typeof SETTINGS.split>[];
  readonly outlet?: readonly Values<typeof SETTINGS.outlet>[];
  readonly action?: readonly Values<typeof SETTINGS.action>[];
  readonly knob?: readonly Values<typeof SETTINGS.knob>[];
  readonly lamp?: readonly Values<typeof SETTINGS.lamp>[];
  readonly live?: Values<typeof SETTINGS.live>;
}

/** The readable part of a document. */
export interface ReadDocument {
  /**
   * Sections that may occur several times are always lists. A key with an unreadable value is present and `undefined`,
   * which distinguishes it from a missing one.
   */
  readonly settings: Settings;
  /** Unknown keys, unreadable values, and values where a table is expected. */
  readonly mistakes: readonly Mistake[];
  /** The path in the file for a path in `settings`: a single table in single brackets has no index there. */
  readonly toFilePath: (path: KeyPath) => KeyPath;
}

/** @example readDocument({ outlet: { kind: 'mts' } }).settings  // { outlet: [{ kind: 'mts' }] } */
export function readDocument(parsed: Readonly<Record<string, unknown>>): ReadDocument {
  const settings: Partial<Record<SectionName, unknown>> = {};
  const mistakes: Mistake[] = [];
  for (const [name, value] of Object.entries(parsed)) {
    if (!isSection(name)) {
      mistakes.push(toUnknownKey([name]));
    } else if (SECTIONS[name].isList && isList(value)) {
      settings[name] = value.map((one, i) => readTable(name, one, [name, i], mistakes));
    } else {
      const table = readTable(name, value, [name], mistakes);
      settings[name] = SECTIONS[name].isList ? [table] : table;
    }
  }
  return {
    // Each value was read as its key says.
    settings: settings as Settings,
    mistakes,
    toFilePath: (path) =>
      typeof path[1] === 'number' && !isList(parsed[path[0]]) ? [path[0], ...path.slice(2)] : path,
  };
}

function readTable(name: SectionName, value: unknown, path: KeyPath, mistakes: Mistake[]): Values<Table> {
  const { settings } = SECTIONS[name];
  if (!isTable(value)) {
    mistakes.push(toNotTable(path));
    // An unknown key.
    return Object.fromEntries(Object.keys(settings).map((key) => [key, undefined]));
  }
  const values: Record<string, unknown> = {};
  for (const [key, input] of Object.entries(value)) {
    if (!Object.hasOwn(settings, key)) {
      mistakes.push(toUnknownKey([...path, key]));
      continue;
    }
    const outcome = readValue(settings[key], input, 'file');
    values[key] = outcome.ok ? outcome.value : undefined;
    if (!outcome.ok) mistakes.push(toBadValue([...path, key], outcome.problem));
  }
  return values as Values<Table>;
}

function isSection(name: string): name is SectionName {
  return Object.hasOwn(SECTIONS, name);
}

/** A table, and not a list, a date or a plain value. */
function isTable(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value) && !(value instanceof Date);
}

function isList(value: unknown): value is readonly unknown[] {
  return Array.isArray(value) && value.length > 0;
}
