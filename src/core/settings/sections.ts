import type { ValueOf } from './kinds.js';
import { KNOB, LAMP } from './knob-lamp.js';
import { ACTION, INPUT, LIVE, OUTLET, SPLIT } from './live.js';
import { TRACK } from './role.js';
import type { Table } from './setting.js';
import { PLAN, TUNER } from './tuning.js';

/** A section of a settings file. */
export interface Section {
  /** Its header in a file; a single one of several may be in single brackets. */
  readonly header: string;
  readonly about: string;
  /** Whether a file may have several. */
  readonly isList: boolean;
  readonly settings: Table;
}

/** Every setting, by its section of the file. */
export const SETTINGS = {
  tuning: { ...TUNER, ...PLAN },
  track: TRACK,
  input: INPUT,
  split: SPLIT,
  outlet: OUTLET,
  action: ACTION,
  knob: KNOB,
  lamp: LAMP,
  live: LIVE,
} as const;

export type SectionName = keyof typeof SETTINGS;

/** The sections of a settings file, in the order of the help. */
export const SECTIONS: Readonly<Record<SectionName, Section>> = {
  tuning: {
    header: '[tuning]',
    about: 'how notes are tuned',
    isList: false,
    settings: SETTINGS.tuning,
  },
  track: {
    header: '[[track]]',
    about: 'the role of tracks of a file; the first table that fits a track holds',
    isList: true,
    settings: SETTINGS.track,
  },
  input: {
    header: '[[input]]',
    about: 'a port to be played from; one table for each',
    isList: true,
    settings: SETTINGS.input,
  },
  split: {
    header: '[[split]]',
    about: "a range of an input's keys, where an input has several; ranges that overlap are layers",
    isList: true,
    settings: SETTINGS.split,
  },
  outlet: {
    header: '[outlet], or [[outlet]] for each of several',
    about: 'a port to play to',
    isList: true,
    settings: SETTINGS.outlet,
  },
  action: {
    header: '[[action]]',
    about: 'something to ask for while playing; one table for each',
    isList: true,
    settings: SETTINGS.action,
  },
  knob: {
    header: '[[knob]]',
    about: 'a controller that turns a setting of the tuning; one table for each',
    isList: true,
    settings: SETTINGS.knob,
  },
  lamp: {
    header: '[[lamp]]',
    about: 'a light or a meter that shows the state; one table for each',
    isList: true,
    settings: SETTINGS.lamp,
  },
  live: {
    header: '[live]',
    about: 'a live session as a whole',
    isList: false,
    settings: SETTINGS.live,
  },
};

/** The values of a section, by their keys. A missing one has its default. */
export type Values<T extends Table> = { readonly [K in keyof T]?: ValueOf<T[K]> | undefined };

/** The name of a setting in code. @example the field of the setting glide, in milliseconds, is glideMs */
export type FieldName<T extends Table, K extends keyof T> = K extends keyof T
  ? T[K] extends { readonly field: infer F }
    ? F & string
    : K & string
  : never;

/** The name of a setting in code, with its unit if it has one. @example toField(TUNER, 'glide')  // 'glideMs' */
export function toField<T extends Table, K extends keyof T & string>(table: T, key: K): FieldName<T, K> {
  return (table[key].field ?? key) as FieldName<T, K>;
}

/** The values of a section by their names in code, without missing ones. */
export type Fields<T extends Table> = { [K in keyof T as FieldName<T, K>]?: ValueOf<T[K]> };

/**
 * Settings under the names of their fields. Settings of another table, and undefined ones, are left out. Values are
 * copied unchecked: they are checked where settings are read.
 *
 * @example toFields(TUNER, { glide: 80, limit: undefined })  // { glideMs: 80 }
 */
export function toFields<T extends Table>(table: T, values: Values<T>): Fields<T> {
  const fields: Record<string, unknown> = {};
  for (const key of Object.keys(table))
    if (values[key] !== undefined) fields[toField(table, key)] = values[key];
  return fields as Fields<T>;
}
