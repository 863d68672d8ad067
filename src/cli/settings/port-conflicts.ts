import type { Problem } from '../../core/outcome.js';
import { findNearest } from '../../core/words/index.js';
import type { KeyPath } from './toml-places.js';

/** Settings that exclude each other. */
export interface Conflict {
  /** Its place in the file: the later of two. */
  readonly keys: KeyPath;
  readonly part: 'key' | 'value';
  readonly code: Problem['code'];
  readonly message: string;
  readonly advice: string;
  /** The earlier of two. */
  readonly other?: KeyPath;
}

/** Two settings that exclude each other. @param other the earlier of them, if it is in the file */
export function toConflict(
  [keys, part]: readonly [KeyPath, Conflict['part']],
  message: string,
  advice: string,
  other?: KeyPath,
): Conflict {
  return { keys, part, code: 'SETTINGS_CONFLICT', message, advice, ...(other && { other }) };
}

/** The known settings of a wanted port; `undefined`: missing or unreadable. */
export interface PortUse {
  readonly port: string | undefined;
  readonly virtual: boolean | undefined;
}

/** A wanted output, with its inputs: `undefined` is all, or unreadable. */
export interface WantedOutput extends PortUse {
  readonly from: readonly string[] | undefined;
}

/** Conflicts among the ports of a session: one wanted twice, a feedback loop, an outlet for a missing input, lamps at a synth. */
export function findPortConflicts(
  inputs: readonly PortUse[],
  outlets: readonly WantedOutput[],
  lamps: readonly PortUse[] = [],
): readonly Conflict[] {
  return [
    ...findTwins('input', inputs),
    ...findTwins('outlet', outlets),
    ...outlets.flatMap((outlet, i) => findLoop('outlet', outlet, i, inputs)),
    ...lamps.flatMap((lamp, i) => findLoop('lamp', lamp, i, inputs)),
    ...lamps.flatMap((lamp, i) => findSynth(lamp, i, outlets)),
    ...outlets.flatMap(({ from = [] }, i) =>
      from.flatMap((name, j) => findStranger(name, ['outlet', i, 'from', j], inputs)),
    ),
  ];
}

/** The conflict of naming a missing input; none if some input's name is unreadable. */
export function findStranger(name: string, keys: KeyPath, inputs: readonly PortUse[]): Conflict[] {
  const names = inputs.map(({ port }) => port);
  if (names.includes(undefined) || names.includes(name)) return [];
  const known = [...new Set(names)].filter((one) => one !== undefined);
  const nearest = findNearest(name, known);
  const list = known.map((one) => `"${one}"`).join(', ');
  return [
    {
      keys,
      part: 'value',
      code: 'SETTINGS_NO_INPUT',
      message: `no input is called "${name}"`,
      advice: nearest === undefined ? `The inputs here: ${list}.` : `Did you mean "${nearest}"?`,
    },
  ];
}

function findTwins(table: 'input' | 'outlet', ports: readonly PortUse[]): Conflict[] {
  return ports.flatMap(({ port }, i) => {
    const first = ports.findIndex((other) => other.port === port);
    if (port === undefined || first === i) return [];
    const message = `another ${table} has the port "${port}" already`;
    const advice = 'Give each a port of its own, by its name.';
    return toConflict([[table, i, 'port'], 'value'], message, advice, [table, first, 'port']);
  });
}

/** A port of ours wanted as another program's, in the other direction: a feedback loop. */
function findLoop(
  table: 'outlet' | 'lamp',
  { port, virtual }: PortUse,
  index: number,
  inputs: readonly PortUse[],
): Conflict[] {
  if (port === undefined || virtual === undefined) return [];
  const first = inputs.findIndex((input) => input.port === port && input.virtual === !virtual);
  if (first < 0) return [];
  const message = `the port "${port}" would be both ours and another's, so that we would hear ourselves`;
  const advice = 'Set virtual = true on both to make two ports of our own, or name another port.';
  return [toConflict([[table, index, 'port'], 'value'], message, advice, ['input', first, 'port'])];
}

/** The lamps of a synth: it would play them. */
function findSynth({ port }: PortUse, index: number, outlets: readonly PortUse[]): Conflict[] {
  const first = outlets.findIndex((outlet) => outlet.port === port);
  if (port === undefined || first < 0) return [];
  const message = `the outlet "${port}" has this port, and its synth would play what is meant for the lamp`;
  const advice = 'Name the port of the controller that has the lamp.';
  return [toConflict([['lamp', index, 'port'], 'value'], message, advice, ['outlet', first, 'port'])];
}
