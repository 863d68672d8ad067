import { DEFAULT_INPUT, DEFAULT_OUTLET } from '../../app/live/live-settings.js';
import { TUNED } from '../../core/score/index.js';
import { OUTLET, PLAN, SETTINGS, TUNER, toFields, toPrimes, toWords } from '../../core/settings/index.js';
import { formatList } from './format.js';
import { findMisplaced } from './misplaced.js';
import {
  type Conflict,
  findPortConflicts,
  findStranger,
  type PortUse,
  toConflict,
  type WantedOutput,
} from './port-conflicts.js';
import type { Settings } from './read-document.js';
import { findSplitConflicts } from './split-conflicts.js';
import { findKnobConflicts, findLampConflicts, findPresetTwins, toLampPort } from './surface-conflicts.js';

type RoleTable = NonNullable<Settings['input' | 'split' | 'track']>[number];
type TrackTable = NonNullable<Settings['track']>[number];
type OutletTable = NonNullable<Settings['outlet']>[number];
type ActionTable = NonNullable<Settings['action']>[number];

/** The triggers of an action. */
export const TRIGGERS = ['controller', 'note', 'program'] as const;

/** The values of actions: each is the name of the action that takes it. */
const VALUES = ['strategy', 'limit', 'tonic', 'preset'] as const;
const VALUE_CHOICES: Readonly<Record<(typeof VALUES)[number], string>> = {
  strategy: formatList(toWords(TUNER.strategy).map((word) => `"${word}"`)),
  limit: formatList(toPrimes(TUNER.limit)),
  tonic: 'a note name, such as "D" or "Bb"',
  preset: 'the path of a settings file in quotes',
};

/** Finds conflicting settings in a file whose values are read; unreadable ones are `undefined` and cause none. */
export function findConflicts(settings: Settings): readonly Conflict[] {
  const { tuning = {}, split = [], outlet = [], action = [], knob = [], lamp = [] } = settings;
  const inputs = (settings.input ?? [{}]).map(toWantedPort);
  const ports = inputs.map(({ port }) => port);
  const outlets = (settings.outlet ?? [{}]).map((one) => ({
    ...toWantedPort(one),
    from: one.from,
    choice: toChoice(one),
  }));
  return [
    ...findPortConflicts(
      inputs,
      split.map(({ name }) => name),
      outlets,
      lamp.map(toLampPort),
    ),
    ...findPlanless(tuning),
    ...findRoleless('input', settings.input ?? []),
    ...findRoleless('split', split),
    ...findRoleless('track', settings.track ?? []),
    ...findUnreachable(settings.track ?? []),
    ...findSplitConflicts(split, settings.input ?? [{}], ports),
    ...outlet.flatMap(findKindless),
    ...action.flatMap(findIncomplete),
    ...knob.flatMap(findKnobConflicts),
    ...(
      [
        ['action', action],
        ['knob', knob],
      ] as const
    ).flatMap(([name, rules]) =>
      rules.flatMap(({ input }, i) =>
        input === undefined ? [] : findStranger(input, [name, i, 'input'], ports),
      ),
    ),
    ...action.flatMap((rule, i) => findRival('action', rule, i, 'action', action.slice(0, i))),
    ...knob.flatMap((rule, i) => findRival('knob', rule, i, 'action', action)),
    ...knob.flatMap((rule, i) => findRival('knob', rule, i, 'knob', knob.slice(0, i))),
    ...findPresetTwins(action),
    ...findLampConflicts(lamp, action),
  ];
}

/** The port of a table. A named port is another program's, unless the table says otherwise. */
export function toWantedPort(table: { port?: string | undefined; virtual?: boolean | undefined }): PortUse {
  const named = Object.hasOwn(table, 'port');
  return {
    port: named ? table.port : DEFAULT_INPUT.port,
    virtual: Object.hasOwn(table, 'virtual') ? table.virtual : !named,
  };
}

/** How an outlet sends its notes; `undefined` if that is unreadable. */
function toChoice(table: OutletTable): WantedOutput['choice'] {
  const isReadable = (['kind', 'zone', 'members', 'channels', 'wire'] as const).every(
    (key) => !Object.hasOwn(table, key) || table[key] !== undefined,
  );
  return isReadable ? { ...DEFAULT_OUTLET, ...toFields(OUTLET, table) } : undefined;
}

/** Keys of a plan, without a plan. */
function findPlanless(tuning: NonNullable<Settings['tuning']>): Conflict[] {
  return findMisplaced(PLAN, tuning, tuning.plan).map(({ key }) => {
    const message = `${key} is for a planned piece, and the plan is "live"`;
    const advice = 'Leave it out, or choose plan = "whole".';
    return toConflict([['tuning', key], 'key'], message, advice, ['tuning', 'plan']);
  });
}

/** Keys of an input, a split or a track that its role doesn't use. */
function findRoleless(table: 'input' | 'split' | 'track', ones: readonly RoleTable[]): Conflict[] {
  return ones.flatMap((one, index) => {
    const role = Object.hasOwn(one, 'role') ? one.role : TUNED.role;
    return findMisplaced(SETTINGS[table], one, role).map(({ key, only }) => {
      const message = `${key} is for role ${formatList(only.is)}, and this ${table} is ${role}`;
      return toConflict([[table, index, key], 'key'], message, 'Leave it out, or choose another role.');
    });
  });
}

/** Tables of tracks below one that is for all tracks. */
function findUnreachable(tracks: readonly TrackTable[]): Conflict[] {
  const isGiven = (track: TrackTable) => (key: string) => Object.hasOwn(track, key);
  const all = tracks.findIndex((track) => !['number', 'name', 'channels'].some(isGiven(track)));
  if (all < 0) return [];
  return tracks.slice(all + 1).flatMap((track, i) => {
    // Channel 10 isn't among the channels of the one above.
    if (Object.hasOwn(track, 'channels')) return [];
    const message = 'an earlier table is for every track already';
    const advice = 'Put the table without number, name and channels last: it is for the rest.';
    return toConflict([['track', all + 1 + i], 'key'], message, advice, ['track', all]);
  });
}

/** Keys of an outlet that its kind doesn't use. */
function findKindless(outlet: OutletTable, index: number): Conflict[] {
  const kind = Object.hasOwn(outlet, 'kind') ? outlet.kind : DEFAULT_OUTLET.kind;
  return findMisplaced(OUTLET, outlet, kind).map(({ key, only }) => {
    const message = `${key} is for kind ${formatList(only.is)}, and this outlet is ${kind}`;
    return toConflict([['outlet', index, key], 'key'], message, 'Leave it out, or choose another kind.');
  });
}

/** A rule needs one trigger, one action, and its value if the action takes one. */
function findIncomplete(rule: ActionTable, index: number): Conflict[] {
  const conflicts: Conflict[] = [];
  const missing = (key: string | undefined, message: string, advice: string) => {
    const keys = key === undefined ? ['action', index] : ['action', index, key];
    conflicts.push({ keys, part: 'key', code: 'SETTINGS_MISSING', message, advice });
  };
  const given = TRIGGERS.filter((kind) => Object.hasOwn(rule, kind));
  if (given.length === 0)
    missing(undefined, 'nothing asks for this action', 'Add controller, note or program with its number.');
  for (const key of given.slice(1)) {
    const message = `${given[0]} and ${key} can't ask together`;
    conflicts.push(toConflict([['action', index, key], 'key'], message, 'Write one [[action]] for each.'));
  }
  if (given.length > 0 && !given.includes('controller') && Object.hasOwn(rule, 'switch')) {
    const message = `switch is for a controller, and here a ${given[0]} asks`;
    conflicts.push(toConflict([['action', index, 'switch'], 'key'], message, 'Leave it out.'));
  }
  const action = rule.do;
  if (!Object.hasOwn(rule, 'do'))
    missing(undefined, 'this action does nothing', 'Add do = "…", such as do = "home-now".');
  if (action === undefined) return conflicts;
  for (const key of VALUES) {
    const isGiven = Object.hasOwn(rule, key);
    if (action === key && !isGiven)
      missing('do', `do = "${key}" needs the ${key} to go to`, `Add ${key} = ${VALUE_CHOICES[key]}.`);
    if (action !== key && isGiven) {
      const message = `${key} is for do = "${key}", and this action does "${action}"`;
      conflicts.push(toConflict([['action', index, key], 'key'], message, 'Leave one of them out.'));
    }
  }
  return conflicts;
}

/** Another rule that matches some message this one matches. @param others those before it */
function findRival(
  table: 'action' | 'knob',
  rule: Trigger,
  index: number,
  otherTable: 'action' | 'knob',
  others: readonly Trigger[],
): Conflict[] {
  for (const kind of TRIGGERS) {
    if (rule[kind] === undefined) continue;
    const first = others.findIndex(
      (other) =>
        other[kind] === rule[kind] && overlap(other, rule, 'channel') && overlap(other, rule, 'input'),
    );
    if (first < 0) continue;
    const message = `${otherTable === table ? 'another' : 'an'} ${otherTable} answers to the same ${kind} already`;
    const advice = 'Give each its own number, channel or input.';
    return [toConflict([[table, index, kind], 'key'], message, advice, [otherTable, first, kind])];
  }
  return [];
}

type Trigger = Pick<ActionTable, (typeof TRIGGERS)[number] | 'channel' | 'input'>;

/** Whether both may mean the same; a missing one means all. */
function overlap(one: Trigger, other: Trigger, key: 'channel' | 'input'): boolean {
  if (!Object.hasOwn(one, key) || !Object.hasOwn(other, key)) return true;
  return one[key] !== undefined && one[key] === other[key];
}
