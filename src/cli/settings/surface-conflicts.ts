import { basename, extname, normalize } from 'node:path';
import { KNOB_ENDS, type KnobSetting, toKnobBounds } from '../../app/live/knobs.js';
import { isMeter } from '../../app/live/lamps.js';
import { LAMP, TUNER } from '../../core/settings/index.js';
import { findNearest } from '../../core/words/index.js';
import { formatRange } from './format.js';
import { findMisplaced } from './misplaced.js';
import { type Conflict, type PortUse, toConflict } from './port-conflicts.js';
import type { Settings } from './read-document.js';
import { readValue } from './read-value.js';

type ActionTable = NonNullable<Settings['action']>[number];
type KnobTable = NonNullable<Settings['knob']>[number];
type LampTable = NonNullable<Settings['lamp']>[number];

function toMissing(table: 'knob' | 'lamp', index: number, message: string, advice: string): Conflict {
  return { keys: [table, index], part: 'key', code: 'SETTINGS_MISSING', message, advice };
}

/** A knob needs a controller, a setting, and two different ends within its bounds. */
export function findKnobConflicts(knob: KnobTable, index: number): Conflict[] {
  const conflicts: Conflict[] = [];
  if (!Object.hasOwn(knob, 'controller'))
    conflicts.push(toMissing('knob', index, 'nothing turns this knob', 'Add controller with its number.'));
  if (!Object.hasOwn(knob, 'sets'))
    conflicts.push(
      toMissing('knob', index, 'this knob sets nothing', 'Add sets = "…", such as sets = "leeway".'),
    );
  const { sets } = knob;
  if (sets === undefined) return conflicts;
  const bounds = toKnobBounds(sets);
  const isOutside = (value: number | undefined) =>
    value !== undefined && (value < bounds.least || value > bounds.most);
  const outside = (['least', 'most'] as const).filter((key) => isOutside(knob[key]));
  for (const key of outside) {
    const message = `${key}: expected ${formatRange(bounds)}, as ${sets} takes, found ${knob[key]}`;
    const advice = 'Choose one within these bounds.';
    conflicts.push({ keys: ['knob', index, key], part: 'value', code: 'VALUE_RANGE', message, advice });
  }
  const { least, most } = toKnobEnds(sets, knob);
  if (outside.length === 0 && least === most) {
    const key = Object.hasOwn(knob, 'most') ? 'most' : 'least';
    const message = `least and most are both ${least}, so the knob would change nothing`;
    conflicts.push(toConflict([['knob', index, key], 'value'], message, 'Choose two different ends.'));
  }
  return conflicts;
}

/** The ends of a knob, with defaults. @example toKnobEnds('leeway', { most: 50 })  // { least: 0, most: 50 } */
export function toKnobEnds(
  sets: KnobSetting,
  { least = KNOB_ENDS[sets][0], most = KNOB_ENDS[sets][1] }: Pick<KnobTable, 'least' | 'most'>,
): { least: number; most: number } {
  return { least, most };
}

/** The name of a preset. @example toPresetName('sets/slow-hymns.toml')  // 'slow-hymns' */
export function toPresetName(path: string): string {
  return basename(path, extname(path));
}

/** Two presets of one name, of which one couldn't tell which is loaded. */
export function findPresetTwins(actions: readonly ActionTable[]): Conflict[] {
  return actions.flatMap(({ preset }, i) => {
    if (preset === undefined) return [];
    const name = toPresetName(preset);
    const first = actions.findIndex(
      (other) => other.preset !== undefined && toPresetName(other.preset) === name,
    );
    if (first === i || normalize(actions[first].preset ?? '') === normalize(preset)) return [];
    const message = `another preset is called "${name}" too`;
    const advice = 'Give one of the two files another name.';
    return [toConflict([['action', i, 'preset'], 'value'], message, advice, ['action', first, 'preset'])];
  });
}

/** The port of a lamp: another program's or a device's, unless the table says otherwise. */
export function toLampPort({ port, ...lamp }: LampTable): PortUse {
  return { port, virtual: Object.hasOwn(lamp, 'virtual') ? lamp.virtual : false };
}

/** Lamps that are incomplete, ask for what there isn't, or have the same address. */
export function findLampConflicts(lamps: readonly LampTable[], actions: readonly ActionTable[]): Conflict[] {
  return lamps.flatMap((lamp, i) => [
    ...findIncomplete(lamp, i),
    ...findMisplaced(LAMP, lamp, lamp.shows).map(({ key }) => {
      const message = `${key} isn't for a lamp that shows ${lamp.shows}`;
      return toConflict([['lamp', i, key], 'key'], message, 'Leave it out.');
    }),
    ...findWrongState(lamp, i, actions),
    ...findTwin(lamp, i, lamps),
  ]);
}

function findIncomplete(lamp: LampTable, index: number): Conflict[] {
  const { shows } = lamp;
  const conflicts: Conflict[] = [];
  const missing = (message: string, advice: string) =>
    conflicts.push(toMissing('lamp', index, message, advice));
  if (!Object.hasOwn(lamp, 'port'))
    missing('this lamp has no port', 'Add port = "…"; leeway ports lists them.');
  if (!Object.hasOwn(lamp, 'shows'))
    missing('this lamp shows nothing', 'Add shows = "…", such as shows = "bypass".');
  const hasNote = Object.hasOwn(lamp, 'note');
  if (!hasNote && !Object.hasOwn(lamp, 'controller'))
    missing('nothing is sent to this lamp', 'Add controller or note with its number.');
  if (hasNote && Object.hasOwn(lamp, 'controller')) {
    const message = 'controller and note are two addresses';
    conflicts.push(toConflict([['lamp', index, 'note'], 'key'], message, 'Write one [[lamp]] for each.'));
  } else if (hasNote && shows !== undefined && isMeter({ shows })) {
    const message = `a lamp that shows ${shows} is a meter, which a key can't be`;
    conflicts.push(toConflict([['lamp', index, 'note'], 'key'], message, 'Give it a controller instead.'));
  }
  if (shows !== undefined && LAMP.is.only.is.some((one) => one === shows) && !Object.hasOwn(lamp, 'is'))
    missing(`shows = "${shows}" needs the ${shows} that turns it on`, `Add is = "…" with that ${shows}.`);
  return conflicts;
}

/** A state that there isn't. */
function findWrongState(
  { shows, is }: LampTable,
  index: number,
  actions: readonly ActionTable[],
): Conflict[] {
  if (is === undefined) return [];
  const keys = ['lamp', index, 'is'];
  if (shows === 'strategy' || shows === 'limit' || shows === 'tonic') {
    const read = readValue(TUNER[shows], is, 'file');
    return read.ok ? [] : [{ ...read.problem, keys, part: 'value', message: `is: ${read.problem.message}` }];
  }
  if (shows !== 'preset' || actions.some((one) => Object.hasOwn(one, 'preset') && one.preset === undefined))
    return [];
  const presets = actions.flatMap(({ preset }) => (preset === undefined ? [] : [toPresetName(preset)]));
  if (presets.includes(is)) return [];
  const nearest = findNearest(is, presets);
  const known =
    presets.length === 0 ? 'Add an action with do = "preset".' : `The presets here: ${presets.join(', ')}.`;
  const advice = nearest === undefined ? known : `Did you mean ${nearest}?`;
  return [toConflict([keys, 'value'], `no action loads a preset called "${is}"`, advice)];
}

/** An earlier lamp of the same address. */
function findTwin(lamp: LampTable, index: number, lamps: readonly LampTable[]): Conflict[] {
  const kind = (['controller', 'note'] as const).find((one) => lamp[one] !== undefined);
  if (kind === undefined || lamp.port === undefined) return [];
  const channelOf = (one: LampTable) => (Object.hasOwn(one, 'channel') ? one.channel : 0);
  const channel = channelOf(lamp);
  const earlier = lamps.slice(0, index);
  const virtual = toLampPort(lamp).virtual;
  const other = earlier.findIndex((one) => one.port === lamp.port && toLampPort(one).virtual !== virtual);
  if (virtual !== undefined && other >= 0 && toLampPort(lamps[other]).virtual !== undefined) {
    const message = `the port "${lamp.port}" would be both ours and another's`;
    return [
      toConflict([['lamp', index, 'port'], 'value'], message, 'Give both the same virtual.', [
        'lamp',
        other,
        'port',
      ]),
    ];
  }
  if (channel === undefined) return [];
  const first = earlier.findIndex(
    (one) => one.port === lamp.port && one[kind] === lamp[kind] && channelOf(one) === channel,
  );
  if (first < 0) return [];
  const message = `another lamp has the same ${kind} already`;
  const advice = 'Give each its own number or channel.';
  return [toConflict([['lamp', index, kind], 'key'], message, advice, ['lamp', first, kind])];
}
