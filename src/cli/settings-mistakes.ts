import type { TomlError } from 'smol-toml';
import { toLeewayError } from '../app/problem-error.js';
import { LeewayError } from '../io/leeway-error.js';
import { findNearest } from './nearest.js';
import type { Conflict } from './port-conflicts.js';
import { TABLES } from './settings-document.js';
import { LIST_TABLES } from './settings-schema.js';
import type { KeyPath, Place } from './toml-places.js';

/** A mistake in a settings file, worded before its place is put in front: `settings.toml:3:9`. */
export type Wording = (where: string) => LeewayError;

/** A key that isn't known. @param keys its path in the file */
export function toUnknownKey(keys: KeyPath): Wording {
  const [name] = keys;
  const key = String(keys[keys.length - 1]);
  const known = Object.keys(keys.length === 1 ? TABLES : TABLES[name]);
  const homes = Object.keys(TABLES).filter((table) => Object.hasOwn(TABLES[table], key));
  const nearest = findNearest(key, known);
  // `channel` for `channels` is a slip, though another table has a key of that name.
  const slip = nearest !== undefined && (nearest.startsWith(key) || key.startsWith(nearest));
  let advice = `Known here: ${known.join(', ')}.`;
  if (homes.length > 0 && !slip) advice = `It belongs under ${homes.map(toHeader).join(' or ')}.`;
  else if (nearest !== undefined) advice = `Did you mean ${nearest}?`;
  const header = typeof keys[1] === 'number' ? `[[${name}]]` : `[${name}]`;
  const what = keys.length === 1 ? `no table or setting "${key}"` : `no setting "${key}" in ${header}`;
  return (where) => toLeewayError({ code: 'SETTINGS_KEY', message: `there is ${what}`, advice }, where);
}

/** Something else where a table was due. */
export function toNotTable([name]: KeyPath): Wording {
  const advice = `Write ${toHeader(String(name))} on a line of its own, and its settings below.`;
  return (where) => toLeewayError({ code: 'SETTINGS_TABLE', message: `${name} is a table`, advice }, where);
}

/** A value its reader refuses. @param keys its path; the first is the table, the last the key */
export function toBadValue(keys: KeyPath, input: unknown): Wording {
  const key = keys[keys.length - 1];
  const outcome = TABLES[keys[0]][key](input);
  if (outcome.ok) throw new Error(`The schema and the reader of ${keys.join('.')} disagree.`);
  const { problem } = outcome;
  return (where) => toLeewayError({ ...problem, message: `${key}: ${problem.message}` }, where);
}

/** Settings that can't stand together. @param other where the earlier of two stands */
export function toConflict({ code, message, advice }: Conflict, other: Place | undefined): Wording {
  const also = other === undefined ? '' : ` (line ${other.line})`;
  return (where) => toLeewayError({ code, message: message + also, advice }, where);
}

/** Text that isn't TOML; the parser knows the place. */
export function toSyntaxMistake(error: TomlError, path: string): LeewayError {
  const [first] = error.message.replace(/^Invalid TOML document: /, '').split('\n');
  return new LeewayError({
    code: 'SETTINGS_TOML',
    message: `${path}:${error.line}:${error.column}: This is not TOML: ${first.replace(/\.$/, '')}.`,
    advice: 'Write one setting a line, key = value, with words in quotes.',
  });
}

function toHeader(table: string): string {
  return LIST_TABLES.includes(table) && table !== 'outlet' ? `[[${table}]]` : `[${table}]`;
}
