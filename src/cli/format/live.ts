import { toHeadroom } from '../../app/live/headroom.js';
import { type KnobRule, toKnobBounds } from '../../app/live/knobs.js';
import { isMeter, type LampConfig } from '../../app/live/lamps.js';
import {
  type ActionRule,
  type InputConfig,
  type LiveSettings,
  type OutletConfig,
  toBendRange,
} from '../../app/live/live-settings.js';
import type { RoleConfig, SplitConfig } from '../../app/live/split-settings.js';
import type { Role } from '../../core/score/index.js';
import { ACTION, type Action, LAMP } from '../../core/settings/index.js';
import { formatPlace, spellKey } from '../../core/theory/index.js';
import { count, formatChannels } from '../../core/words/index.js';
import { formatHeadroom } from './headroom.js';
import { formatSettings } from './settings.js';
import { formatRow } from './wrap.js';

const row = (name: string, text: string) => formatRow(name, text, 10);

/** Centre of the key names on the line of fifths: E♭ to G♯, as is usual without music. */
const FIFTHS_CENTRE = 2;

/** What each action does, as in `controller 67: go home now`. */
export const ACTION_WORDS: Readonly<Record<Action, string>> = ACTION.do.words;

/** A live session's settings, in a few lines. */
export function formatLive(settings: LiveSettings): string[] {
  const { tuner, inputs, splits, outlets, actions, presets, knobs, lamps } = settings;
  const { fuse, waitMs, systemMessages, takeDirectory } = settings;
  const lines = row('tuned', formatSettings(tuner, 'live'));
  for (const input of inputs) {
    const its = splits.filter((split) => split.input === input.port);
    lines.push(...row('in', its.length === 0 ? formatInput(input) : formatInputPort(input)));
    for (const split of its) lines.push(...row('keys', formatSplit(split, input.bendRange)));
  }
  for (const outlet of outlets) {
    lines.push(...row('out', formatOutletConfig(outlet)));
    const headroom = toHeadroom(settings, outlet);
    if (headroom !== undefined) lines.push(...row('bends', formatHeadroom(headroom)));
  }
  for (const rule of actions) lines.push(...row('on', formatRule(rule)));
  for (const { name, tuner: its } of presets)
    lines.push(...row('preset', `${name}: ${formatSettings(its, 'live')}`));
  for (const knob of knobs) lines.push(...row('knob', formatKnob(knob)));
  for (const lamp of lamps) lines.push(...row('lamp', formatLamp(lamp)));
  if (waitMs > 0) lines.push(...row('waits', `${waitMs} ms, so that the notes of a chord start in tune`));
  lines.push(...row('fuse', `an input that sends more than ${count(fuse, 'message')} a second is cut off`));
  lines.push(
    ...row('passes', systemMessages ? 'clock, transport and SysEx' : 'no clock, transport or SysEx'),
  );
  if (takeDirectory !== undefined) lines.push(...row('takes', `go to ${takeDirectory}`));
  return lines;
}

/** What an input says of MPE; nothing by default. */
const MPE_WORDS: Readonly<Record<InputConfig['mpe'], string>> = {
  auto: '',
  lower: '; MPE, the lower zone',
  upper: '; MPE, the upper zone',
  both: '; MPE, both zones',
  off: '; never MPE',
};

function formatInputPort({ port, virtual, mpe }: InputConfig): string {
  return formatPort(port, virtual) + MPE_WORDS[mpe];
}

function formatInput(input: InputConfig): string {
  const { role, bendRange, channels } = input;
  const name = formatInputPort(input);
  if (role === 'untuned' || channels?.length === 0) return `${name}; nothing from it is tuned, all passes`;
  return `${name}; ${formatRole(role, channels, bendRange)}`;
}

function formatSplit(split: SplitConfig, bendRange: number): string {
  const { name, lowest, highest, transpose, controllers, role, channels } = split;
  const facts = [`${formatKey(lowest)} to ${formatKey(highest)}`, formatRole(role, channels, bendRange)];
  if (transpose !== 0)
    facts.push(`${count(Math.abs(transpose), 'semitone')} ${transpose > 0 ? 'up' : 'down'}`);
  if (!controllers) facts.push('without pedals, wheels and other controllers');
  return `${name === undefined ? '' : `"${name}": `}${facts.join('; ')}`;
}

function formatRole(role: Role, channels: RoleConfig['channels'], bendRange: number): string {
  const which = channels === undefined ? 'all but channel 10' : formatChannels(channels);
  switch (role) {
    case 'fixed':
      return `${which} can't be tuned, and the others are tuned to it`;
    case 'guide':
      return `${which} heard as harmony, and not sent on`;
    case 'untuned':
      return `${which} passed as it comes, and not heard`;
    case 'tuned':
      return `${which} tuned; its pitch wheel reaches ${count(bendRange, 'semitone')}`;
  }
}

/** A key by its name, as a player knows it. @example formatKey(60)  // 'C4' */
export function formatKey(key: number): string {
  return spellKey(key, FIFTHS_CENTRE, { octave: true });
}

/** An outlet in one line. */
export function formatOutletConfig(outlet: OutletConfig): string {
  const { port, virtual, wire, from } = outlet;
  const facts = [formatPort(port, virtual), formatKind(outlet)];
  if (wire === 'din') facts.push('on a DIN cable');
  if (from !== undefined) facts.push(`plays ${from.map((name) => `"${name}"`).join(', ')}`);
  return facts.join('; ');
}

function formatKind(outlet: OutletConfig): string {
  const { kind, zone, members, channels } = outlet;
  const range = `bend range ${count(toBendRange(outlet), 'semitone')}`;
  switch (kind) {
    case 'mpe':
      return `an MPE ${zone} zone of ${count(members, 'member channel')}, ${range}`;
    case 'multichannel':
      return `plain ${channels === undefined ? 'channels, all but 10' : formatChannels(channels)}, ${range}`;
    case 'mts':
      return 'tuning messages (MIDI Tuning Standard), no bends';
  }
}

function formatRule({ on, action, strategy, limit, tonic, preset }: ActionRule): string {
  const { kind, number, switch: footSwitch, channel, input } = on;
  const names: Readonly<Record<typeof kind, string>> = {
    controller: `controller ${number}`,
    note: formatKeyNumber(number),
    program: `program ${number + 1}`,
  };
  const values: Partial<Record<Action, string | undefined>> = {
    strategy: `change to the strategy ${strategy}`,
    limit: `change to the prime limit ${limit}`,
    tonic: tonic && `change to the tonic ${formatPlace(tonic.fifths)}`,
    preset: `load the preset ${preset}`,
  };
  const how = footSwitch === 'latching' ? ', a latching switch' : '';
  return `${names[kind]}${formatOrigin(channel, input)}${how}: ${values[action] ?? ACTION_WORDS[action]}`;
}

function formatOrigin(channel: number | undefined, input: string | undefined): string {
  const where = channel === undefined ? '' : ` on channel ${channel + 1}`;
  return input === undefined ? where : `${where} of "${input}"`;
}

function formatKnob({ controller, channel, input, sets, least, most }: KnobRule): string {
  const { unit } = toKnobBounds(sets);
  return `controller ${controller}${formatOrigin(channel, input)}: turns ${sets} from ${least} to ${most} ${unit}`;
}

function formatLamp(lamp: LampConfig): string {
  const { port, virtual, channel, kind, number, shows, is, on, leastCents, mostCents } = lamp;
  const address = `${formatPort(port, virtual)}; ${kind === 'note' ? formatKeyNumber(number) : `controller ${number}`} on channel ${channel + 1}`;
  if (isMeter(lamp)) return `${address}: ${shows}, from ${leastCents} to ${mostCents} c`;
  // As the help says it: on while …
  const when = is === undefined ? LAMP.shows.words[shows].replace(/^on /, '') : `while ${shows} is ${is}`;
  return `${address}: ${on} ${when}`;
}

function formatKeyNumber(key: number): string {
  return `key ${formatKey(key)} (${key})`;
}

function formatPort(port: string, virtual: boolean): string {
  return virtual ? `"${port}", a port of our own` : `"${port}"`;
}
