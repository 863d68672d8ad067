import { parse, TomlError } from 'smol-toml';
import * as v from 'valibot';
import type { LeewayError } from '../io/leeway-error.js';
import type { Choices } from './choices.js';
import { findConflicts } from './settings-conflicts.js';
import { readWhatIsRight, TABLES, toDocument } from './settings-document.js';
import {
  toBadValue,
  toConflict,
  toNotTable,
  toSyntaxMistake,
  toUnknownKey,
  type Wording,
} from './settings-mistakes.js';
import { type Settings, SettingsSchema } from './settings-schema.js';
import { findPlaces, type KeyPath, type Place } from './toml-places.js';

/** The choices of a user, or every mistake in them. */
export type Chosen =
  | { readonly ok: true; readonly choices: Choices }
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/** A mistake in a settings file, and where it stands. */
export interface PlacedMistake {
  readonly place: Place;
  readonly error: LeewayError;
}

/** What a settings file says, or every mistake in it in the order of the file. */
export type ParsedSettings =
  | { readonly ok: true; readonly settings: Settings }
  | { readonly ok: false; readonly mistakes: readonly PlacedMistake[] };

/**
 * Reads a settings file. All mistakes in it are told at once, each with its line and column: keys that aren't known,
 * values that can't be read, settings that can't stand together.
 * @param path how the file is called in the mistakes: `settings.toml:3:9: …`
 */
export function parseSettings(bytes: Uint8Array, path: string): ParsedSettings {
  const text = new TextDecoder().decode(bytes);
  let parsed: Record<string, unknown>;
  try {
    parsed = parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const { line, column } = error;
    return { ok: false, mistakes: [{ place: { line, column }, error: toSyntaxMistake(error, path) }] };
  }
  const document = toDocument(parsed);
  const result = v.safeParse(SettingsSchema, document.raw);
  const conflicts = findConflicts(readWhatIsRight(document));
  if (result.success && document.notTables.length === 0 && conflicts.length === 0)
    return { ok: true, settings: result.output };

  const find = findPlaces(text);
  const findPlace = (keys: KeyPath, part: 'key' | 'value'): Place | undefined => {
    const filePath = document.toFilePath(keys);
    // What was never given stands where its table does.
    for (let length = filePath.length; length > 0; length--) {
      const found = find(filePath.slice(0, length));
      if (found !== undefined) return (part === 'value' ? found.value : undefined) ?? found.key;
    }
    return undefined;
  };
  const toPlace = (keys: KeyPath, part: 'key' | 'value') => findPlace(keys, part) ?? { line: 1, column: 1 };
  const mistakes: PlacedMistake[] = [];
  const add = (place: Place, wording: Wording) => {
    mistakes.push({ place, error: wording(`${path}:${place.line}:${place.column}`) });
  };
  for (const keys of findUnknownKeys(document.raw))
    add(toPlace(keys, 'key'), toUnknownKey(document.toFilePath(keys)));
  for (const keys of document.notTables) add(toPlace(keys, 'value'), toNotTable(keys));
  for (const issue of result.issues ?? []) {
    if (issue.expected === 'never') continue; // an unknown key; the schema tells the first of a table only
    const keys = (issue.path ?? []).map((step) => step.key as string | number);
    add(toPlace(keys, 'value'), toBadValue(keys, issue.input));
  }
  for (const conflict of conflicts) {
    const { keys, part, other } = conflict;
    const place = findPlace(keys, part);
    const otherPlace = other && findPlace(other, part);
    // One of the two may be stock, and stand nowhere in the file.
    const both = place !== undefined ? otherPlace : undefined;
    add(place ?? otherPlace ?? { line: 1, column: 1 }, toConflict(conflict, both));
  }
  mistakes.sort(({ place: a }, { place: b }) => a.line - b.line || a.column - b.column);
  return { ok: false, mistakes };
}

/** How a file tunes, and how the notes of its first outlet travel: all there is to `retune` and `explain`. */
export function toChoices({ tuning = {}, outlet = [] }: Settings): Choices {
  return {
    limit: tuning.limit,
    home: tuning.home,
    tonic: tuning.tonic,
    a4Hz: tuning.a4,
    strategy: tuning.strategy,
    leewayCents: tuning.leeway,
    rateCentsPerSecond: tuning.rate,
    recallCents: tuning.recall,
    held: tuning.held,
    glideMs: tuning.glide,
    strikeWindowMs: tuning['strike-window'],
    plan: tuning.plan,
    end: tuning.end,
    smoothSeconds: tuning.smooth,
    outlet: outlet[0]?.kind,
    bendRange: outlet[0]?.['bend-range'],
    zone: outlet[0]?.zone,
    members: outlet[0]?.members,
    channels: outlet[0]?.channels,
    releaseHoldMs: outlet[0]?.['release-hold'],
  };
}

function findUnknownKeys(raw: Readonly<Record<string, unknown>>): KeyPath[] {
  const inTable = (table: object, path: KeyPath): KeyPath[] => {
    const known = TABLES[path[0]];
    return Object.keys(table).flatMap((key) => (Object.hasOwn(known, key) ? [] : [[...path, key]]));
  };
  return Object.entries(raw).flatMap(([name, value]) => {
    if (!Object.hasOwn(TABLES, name)) return [[name]];
    return Array.isArray(value)
      ? value.flatMap((table, i) => inTable(table, [name, i]))
      : inTable(value as object, [name]);
  });
}
