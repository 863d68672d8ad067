import type { OutletConfig } from '../../app/live/live-settings.js';
import { claims, type OutletChoice } from '../../app/outlet-choice.js';
import type { KeyPath } from '../../app/toml-places.js';
import type { Problem } from '../../core/outcome.js';
import { findNearest } from '../../core/words/index.js';

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

/** A wanted output, with what it plays: `undefined` is all, or unreadable. */
export interface WantedOutput extends PortUse {
  readonly from: readonly string[] | undefined;
  /** How notes are sent there; `undefined`: unreadable. */
  readonly choice: (OutletChoice & Pick<OutletConfig, 'wire'>) | undefined;
}

/**
 * Conflicts among the ports of a session: one wanted twice, a feedback loop, an outlet for a missing
 * input, lamps at a synth.
 * @param splits names of splits, which outlets may play too
 */
export function findPortConflicts(
  inputs: readonly PortUse[],
  splits: readonly (string | undefined)[],
  outlets: readonly WantedOutput[],
  lamps: readonly PortUse[] = [],
): readonly Conflict[] {
  const ports = inputs.map(({ port }) => port);
  const names = splits.filter((name) => name !== undefined);
  return [
    ...findTwins(inputs),
    ...findRivals(outlets),
    ...outlets.flatMap((outlet, i) => findLoop('outlet', outlet, i, inputs)),
    ...lamps.flatMap((lamp, i) => findLoop('lamp', lamp, i, inputs)),
    ...lamps.flatMap((lamp, i) => findSynth(lamp, i, outlets)),
    ...outlets.flatMap(({ from = [] }, i) =>
      from.flatMap((name, j) => findStranger(name, ['outlet', i, 'from', j], [...ports, ...names])),
    ),
  ];
}

/** The conflict of naming a missing input; none if some input's name is unreadable. */
export function findStranger(
  name: string,
  keys: KeyPath,
  names: readonly (string | undefined)[],
): Conflict[] {
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

function findTwins(inputs: readonly PortUse[]): Conflict[] {
  return inputs.flatMap(({ port }, i) => {
    const first = inputs.findIndex((other) => other.port === port);
    if (port === undefined || first === i) return [];
    const message = `another input has the port "${port}" already`;
    const advice = 'Give each a port of its own, by its name.';
    return toConflict([['input', i, 'port'], 'value'], message, advice, ['input', first, 'port']);
  });
}

/** Outlets may share a port where each has channels of its own. */
function findRivals(outlets: readonly WantedOutput[]): Conflict[] {
  return outlets.flatMap((outlet, i) =>
    outlets
      .slice(0, i)
      .flatMap((other, first) => {
        const [message, advice] = toRivalry(other, outlet) ?? [];
        if (message === undefined || advice === undefined) return [];
        return toConflict([['outlet', i, 'port'], 'value'], message, advice, ['outlet', first, 'port']);
      })
      .slice(0, 1),
  );
}

/** Why two outlets can't share a port, and what to do; nothing if they can, or have different ones. */
function toRivalry(one: WantedOutput, other: WantedOutput): readonly [string, string] | undefined {
  const [first, second] = [one.choice, other.choice];
  if (other.port === undefined || one.port !== other.port || first === undefined || second === undefined)
    return undefined;
  const message = `another outlet has the port "${other.port}" already`;
  if (one.virtual !== other.virtual) return [message, 'Give both the same virtual.'];
  if (first.wire !== second.wire) return [message, 'Give both the same wire: they share the cable.'];
  if (first.kind === 'mts' || second.kind === 'mts')
    return [message, 'Give each a port of its own: kind = "mts" needs all channels.'];
  const channel = ALL_CHANNELS.find((each) => claims(first, each) && claims(second, each));
  if (channel === undefined) return undefined;
  const advice = 'Give each a port of its own, or channels of its own: members and zone of MPE, or channels.';
  return [`${message}, and uses channel ${channel + 1}`, advice];
}

const ALL_CHANNELS = Array.from({ length: 16 }, (_, channel) => channel);

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

/** An outlet of a session, as a wanted output. */
export function toWantedOutput(config: OutletConfig): WantedOutput {
  return { ...config, choice: config };
}
