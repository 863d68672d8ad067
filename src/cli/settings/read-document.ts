import {
  SECTIONS,
  type SETTINGS,
  type SectionName,
  type Table,
  type Values,
} from '../../core/settings/index.js';
import { type Mistake, toBadValue, toNotTable, toUnknownKey } from './mistakes.js';
import { readValue } from './read-value.js';
import type { KeyPath } from './toml-places.js';

/** What a settings file says, its values read. What isn't there is at its default. */
export interface Settings {
  readonly tuning?: Values<typeof SETTINGS.tuning>;
  readonly input?: readonly Values<typeof SETTINGS.input>[];
  readonly outlet?: readonly Values<typeof SETTINGS.outlet>[];
  readonly action?: readonly Values<typeof SETTINGS.action>[];
  readonly live?: Values<typeof SETTINGS.live>;
}

/** A document as far as it can be read. */
export interface ReadDocument {
  /**
   * Sections of which there may be several are lists, always. A key whose value can't be read is there and `undefined`,
   * so that it differs from one that was never given.
   */
  readonly settings: Settings;
  /** Keys that aren't known, values that can't be read, and what isn't a table where one is due. */
  readonly mistakes: readonly Mistake[];
  /** Where a place in `settings` is in the file: a single table that stood in single brackets has no index there. */
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
    // Nothing is known of it.
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
