import { type Conflict, findStranger, toConflict } from './port-conflicts.js';
import type { Settings } from './read-document.js';

type InputTable = NonNullable<Settings['input']>[number];
type SplitTable = NonNullable<Settings['split']>[number];

/** Settings of an input that its splits have each for themselves. */
const OWN = ['channels', 'role', 'scale', 'tonic', 'a4'] as const;

/**
 * Conflicts of splits: with their inputs, with each other, and in themselves.
 * @param ports of the inputs; `undefined`: unreadable
 */
export function findSplitConflicts(
  splits: readonly SplitTable[],
  inputs: readonly InputTable[],
  ports: readonly (string | undefined)[],
): readonly Conflict[] {
  return [
    ...splits.flatMap((split, i) => findHomeless(split, i, ports)),
    ...splits.flatMap(({ name }, i) => findNamesake(name, i, splits, ports)),
    ...splits.flatMap(findUpsideDown),
    ...inputs.flatMap((input, i) => findRoleBeside(input, i, splits, ports)),
  ];
}

/** A split must say which of several inputs it is part of. */
function findHomeless(split: SplitTable, index: number, ports: readonly (string | undefined)[]): Conflict[] {
  if (split.input !== undefined) return findStranger(split.input, ['split', index, 'input'], ports);
  if (Object.hasOwn(split, 'input') || ports.length === 1) return [];
  const known = ports.filter((port) => port !== undefined).map((port) => `"${port}"`);
  return [
    {
      keys: ['split', index],
      part: 'key',
      code: 'SETTINGS_MISSING',
      message: 'this split needs the input it is part of',
      advice: `Add input = with one of ${known.join(', ')}.`,
    },
  ];
}

/** Outlets tell what they play by its name. */
function findNamesake(
  name: string | undefined,
  index: number,
  splits: readonly SplitTable[],
  ports: readonly (string | undefined)[],
): Conflict[] {
  if (name === undefined) return [];
  const advice = 'Give it another name.';
  const place = [['split', index, 'name'], 'value'] as const;
  const port = ports.indexOf(name);
  if (port >= 0)
    return [toConflict(place, `an input is called "${name}" already`, advice, ['input', port, 'port'])];
  const first = splits.findIndex((other) => other.name === name);
  if (first === index) return [];
  return [toConflict(place, `another split is called "${name}" already`, advice, ['split', first, 'name'])];
}

function findUpsideDown({ lowest, highest }: SplitTable, index: number): Conflict[] {
  if (lowest === undefined || highest === undefined || lowest <= highest) return [];
  const message = 'lowest is above highest, so that no key is in the split';
  const keys = ['split', index, 'lowest'] as const;
  return [toConflict([keys, 'value'], message, 'Exchange them.', ['split', index, 'highest'])];
}

/** What an input says of its notes, where its splits do. */
function findRoleBeside(
  input: InputTable,
  index: number,
  splits: readonly SplitTable[],
  ports: readonly (string | undefined)[],
): Conflict[] {
  const first = splits.findIndex((split) =>
    split.input === undefined ? ports.length === 1 : split.input === ports[index],
  );
  if (first < 0) return [];
  return OWN.filter((key) => Object.hasOwn(input, key)).map((key) => {
    const message = `${key} has no effect on an input with splits`;
    return toConflict([['input', index, key], 'key'], message, `Write ${key} in its splits.`, [
      'split',
      first,
    ]);
  });
}
