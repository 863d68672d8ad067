import { parse, TomlError } from 'smol-toml';
import * as v from 'valibot';
import { toLeewayError } from '../app/problem-error.js';
import { LeewayError } from '../io/leeway-error.js';
import type { Choices } from './choices.js';
import { findNearest } from './nearest.js';
import type { Reader } from './read-values.js';
import { SETTINGS, SettingsSchema } from './settings-schema.js';
import { findPlaces, type KeyPath, type Place } from './toml-places.js';

/** The choices of a user, or every mistake in them. */
export type Chosen =
  | { readonly ok: true; readonly choices: Choices }
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/** The tables of a settings file, and how each key in them is read. */
const TABLES: Readonly<Record<string, Readonly<Record<string, Reader<unknown>>>>> = SETTINGS;

/**
 * Reads a settings file. All mistakes in it are told at once, each with its line and column.
 * @param path how the file is called in the mistakes: `settings.toml:3:9: …`
 */
export function parseSettings(bytes: Uint8Array, path: string): Chosen {
  const text = new TextDecoder().decode(bytes);
  let raw: Record<string, unknown>;
  try {
    raw = parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    return { ok: false, mistakes: [toSyntaxMistake(error, path)] };
  }
  const lists = Object.keys(TABLES).filter((table) => Array.isArray(raw[table]));
  const result = v.safeParse(SettingsSchema, raw);
  if (result.success && lists.length === 0) return { ok: true, choices: toChoices(result.output) };

  const find = findPlaces(text);
  const placed: { readonly place: Place; readonly tell: (where: string) => LeewayError }[] = [];
  const add = (keys: KeyPath, part: 'key' | 'value', tell: (where: string) => LeewayError) => {
    const found = find(keys) ?? { key: { line: 1, column: 1 }, value: undefined };
    placed.push({ place: (part === 'value' ? found.value : undefined) ?? found.key, tell });
  };
  for (const keys of findUnknownKeys(raw)) add(keys, 'key', (where) => toUnknownKey(keys, where));
  // To the schema a list is an object, with its indices as keys.
  for (const table of lists) add([table], 'value', (where) => toBadValue([table], raw[table], where));
  for (const issue of result.issues ?? []) {
    if (issue.expected === 'never') continue; // an unknown key; the schema tells the first of a table only
    const keys = (issue.path ?? []).map((step) => String(step.key));
    add(keys, 'value', (where) => toBadValue(keys, issue.input, where));
  }
  placed.sort((one, other) => one.place.line - other.place.line || one.place.column - other.place.column);
  const mistakes = placed.map(({ place, tell }) => tell(`${path}:${place.line}:${place.column}`));
  return { ok: false, mistakes };
}

function toChoices({ tuning = {}, outlet = {} }: v.InferOutput<typeof SettingsSchema>): Choices {
  return {
    limit: tuning.limit,
    home: tuning.home,
    tonic: tuning.tonic,
    a4Hz: tuning.a4,
    strategy: tuning.strategy,
    leewayCents: tuning.leeway,
    rateCentsPerSecond: tuning.rate,
    held: tuning.held,
    glideMs: tuning.glide,
    strikeWindowMs: tuning['strike-window'],
    outlet: outlet.kind,
    bendRange: outlet['bend-range'],
  };
}

function findUnknownKeys(raw: Readonly<Record<string, unknown>>): string[][] {
  return Object.entries(raw).flatMap(([table, inner]) => {
    if (!Object.hasOwn(TABLES, table)) return [[table]];
    if (typeof inner !== 'object' || inner === null || Array.isArray(inner)) return [];
    const known = TABLES[table];
    return Object.keys(inner).flatMap((key) => (Object.hasOwn(known, key) ? [] : [[table, key]]));
  });
}

function toUnknownKey(keys: readonly string[], where: string): LeewayError {
  const key = keys[keys.length - 1];
  const known = Object.keys(keys.length === 1 ? TABLES : TABLES[keys[0]]);
  const home = Object.keys(TABLES).find((table) => Object.hasOwn(TABLES[table], key));
  const nearest = findNearest(key, known);
  let advice = `Known here: ${known.join(', ')}.`;
  if (home !== undefined) advice = `It belongs under [${home}].`;
  else if (nearest !== undefined) advice = `Did you mean ${nearest}?`;
  const what = keys.length === 1 ? `no table or setting "${key}"` : `no setting "${key}" in [${keys[0]}]`;
  return toLeewayError({ code: 'SETTINGS_KEY', message: `there is ${what}`, advice }, where);
}

function toBadValue(keys: readonly string[], input: unknown, where: string): LeewayError {
  if (keys.length === 1) {
    const advice = `Write [${keys[0]}] on a line of its own, and its settings below.`;
    return toLeewayError({ code: 'SETTINGS_TABLE', message: `${keys[0]} is a table`, advice }, where);
  }
  const outcome = TABLES[keys[0]][keys[1]](input);
  if (outcome.ok) throw new Error(`The schema and the reader of ${keys.join('.')} disagree.`);
  const { problem } = outcome;
  return toLeewayError({ ...problem, message: `${keys[1]}: ${problem.message}` }, where);
}

function toSyntaxMistake(error: TomlError, path: string): LeewayError {
  const [first] = error.message.replace(/^Invalid TOML document: /, '').split('\n');
  return new LeewayError({
    code: 'SETTINGS_TOML',
    message: `${path}:${error.line}:${error.column}: This is not TOML: ${first.replace(/\.$/, '')}.`,
    advice: 'Write one setting a line, key = value, with words in quotes.',
  });
}
