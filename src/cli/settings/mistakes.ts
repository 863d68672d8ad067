import type { KeyPath } from '../../app/toml-places.js';
import type { Problem } from '../../core/outcome.js';
import { SECTIONS, type SectionName } from '../../core/settings/index.js';
import { findNearest } from '../../core/words/index.js';

/** Something wrong in a settings file, and where. */
export interface Mistake {
  readonly path: KeyPath;
  readonly part: 'key' | 'value';
  readonly problem: Problem;
}

/** An unknown key. */
export function toUnknownKey(path: KeyPath): Mistake {
  const [name] = path as [SectionName];
  const key = String(path[path.length - 1]);
  const known = Object.keys(path.length === 1 ? SECTIONS : SECTIONS[name].settings);
  const homes = Object.entries(SECTIONS).filter(([, { settings }]) => Object.hasOwn(settings, key));
  const nearest = findNearest(key, known);
  // `channel` for `channels` is a slip, though another table has a key of that name.
  const isSlip = nearest !== undefined && (nearest.startsWith(key) || key.startsWith(nearest));
  let advice = `Known here: ${known.join(', ')}.`;
  if (homes.length > 0 && !isSlip)
    advice = `It belongs under ${homes.map(([home]) => toHeader(home)).join(' or ')}.`;
  else if (nearest !== undefined) advice = `Did you mean ${nearest}?`;
  const header = typeof path[1] === 'number' ? `[[${name}]]` : `[${name}]`;
  const what = path.length === 1 ? `no table or setting "${key}"` : `no setting "${key}" in ${header}`;
  return { path, part: 'key', problem: { code: 'SETTINGS_KEY', message: `there is ${what}`, advice } };
}

/** Another value where a table is expected. */
export function toNotTable(path: KeyPath): Mistake {
  const name = String(path[0]);
  const advice = `Write ${toHeader(name)} on a line of its own, and its settings below.`;
  const problem: Problem = { code: 'SETTINGS_TABLE', message: `${name} is a table`, advice };
  return { path, part: 'value', problem };
}

/** An unreadable value. */
export function toBadValue(path: KeyPath, problem: Problem): Mistake {
  const message = `${path[path.length - 1]}: ${problem.message}`;
  return { path, part: 'value', problem: { ...problem, message } };
}

function toHeader(section: string): string {
  return SECTIONS[section as SectionName].header.split(',')[0];
}
