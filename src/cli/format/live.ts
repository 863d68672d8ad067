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
import { claims } from '../../app/outlet-choice.js';
import { ACTION, type Action, LAMP } from '../../core/settings/index.js';
import { formatPlace, spellKey } from '../../core/theory/index.js';
import { count, formatChannels } from '../../core/words/index.js';
import { formatHeadroom, toHeadroomRemarks } from './headroom.js';
import { formatSettings } from './settings.js';
import { formatRow } from './wrap.js';

const row = (name: string, text: string) => formatRow(name, text, 10);

/** Centre of the key names on the line of fifths: E♭ to G♯, as is usual without music. */
const FIFTHS_CENTRE = 2;

/** What each action does, as in `controller 67: go home now`. */
export const ACTION_WORDS: Readonly<Record<Action, string>> = ACTION.do.words;

/** A live session's settings, in a few lines. */
export function formatLive(settings: LiveSettings): string[] {
  const { tuner, inputs, outlets, actions, presets, knobs, lamps, fuse, systemMessages, takeDirectory } =
    settings;
  const lines = row('tuned', formatSettings(tuner, 'live'));
  for (const input of inputs) lines.push(...row('in', formatInput(input)));
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
  lines.push(...row('fuse', `an input that sends more than ${count(fuse, 'message')} a second is cut off`));
  lines.push(
    ...row('passes', systemMessages ? 'clock, transport and SysEx' : 'no clock, transport or SysEx'),
  );
  if (takeDirectory !== undefined) lines.push(...row('takes', `go to ${takeDirectory}`));
  return lines;
}

/**
 * Sentences on allowed settings that a player may not have meant.
 * @example with the default settings there is nothing to remark
 */
export function toLiveRemarks(settings: LiveSettings): string[] {
  const { inputs, outlets, actions, knobs } = settings;
  const remarks = [
    ...inputs.flatMap((input) => toCollisions(input, outlets)),
    ...outlets.flatMap((outlet) => toSharing(outlet, inputs)),
  ];
  for (const { port, channels } of inputs) {
    const isHeard = outlets.some(({ from }) => from === undefined || from.includes(port));
    if (!isHeard && channels?.length !== 0) remarks.push(`no outlet plays what comes from "${port}"`);
  }
  for (const { port, channels } of outlets) {
    if (channels?.includes(9))
      remarks.push(`"${port}" plays on channel 10, which is percussion on General MIDI synths`);
  }
  for (const { on } of actions) {
    const pedal = on.kind === 'controller' ? PEDALS[on.number] : undefined;
    if (pedal !== undefined)
      remarks.push(
        `controller ${on.number} is the ${pedal} pedal, which holds no notes while it asks for an action`,
      );
  }
  for (const { controller } of knobs) {
    const pedal = PEDALS[controller];
    if (pedal !== undefined)
      remarks.push(`controller ${controller} is the ${pedal} pedal, which holds no notes while it is a knob`);
  }
  return [...remarks, ...toHeadroomRemarks(settings)];
}

/** Inputs whose messages pass unchanged to an outlet that bends the same channels. */
function toCollisions({ port, role, channels }: InputConfig, outlets: readonly OutletConfig[]): string[] {
  if (role === 'guide' || role === 'tuned' || channels?.length === 0) return [];
  const its = outlets.filter(({ from }) => from === undefined || from.includes(port));
  return its
    .filter((outlet) => ALL_CHANNELS.some((channel) => claims(outlet, channel)))
    .map(
      (outlet) =>
        `notes of "${port}" pass unchanged to "${outlet.port}", which bends its channels; give "${port}" another outlet, and name the inputs of each outlet with from`,
    );
}

/** Inputs that play one zone: it is one instrument. */
function toSharing({ port, kind, from }: OutletConfig, inputs: readonly InputConfig[]): string[] {
  const players = inputs.filter(
    (input) =>
      input.role === 'tuned' &&
      input.channels?.length !== 0 &&
      (from === undefined || from.includes(input.port)),
  );
  if (kind !== 'mpe' || players.length < 2) return [];
  const names = players.map((input) => `"${input.port}"`).join(' and ');
  return [
    `${names} play one MPE zone of "${port}", so they share its program, volume and pedal; kind = "multichannel" keeps them apart`,
  ];
}

const ALL_CHANNELS = Array.from({ length: 16 }, (_, channel) => channel);

const PEDALS: Readonly<Record<number, string>> = { 64: 'sustain', 66: 'sostenuto' };

function formatInput({ port, virtual, role, bendRange, channels }: InputConfig): string {
  const name = formatPort(port, virtual);
  if (role === 'untuned' || channels?.length === 0) return `${name}; nothing from it is tuned, all passes`;
  const which = channels === undefined ? 'all but channel 10' : formatChannels(channels);
  if (role === 'fixed') return `${name}; ${which} can't be tuned, and the others are tuned to it`;
  if (role === 'guide') return `${name}; ${which} heard as harmony, and not sent on`;
  return `${name}; ${which} tuned; its pitch wheel reaches ${count(bendRange, 'semitone')}`;
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
    note: formatKey(number),
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
  const address = `${formatPort(port, virtual)}; ${kind === 'note' ? formatKey(number) : `controller ${number}`} on channel ${channel + 1}`;
  if (isMeter(lamp)) return `${address}: ${shows}, from ${leastCents} to ${mostCents} c`;
  // As the help says it: on while …
  const when = is === undefined ? LAMP.shows.words[shows].replace(/^on /, '') : `while ${shows} is ${is}`;
  return `${address}: ${on} ${when}`;
}

function formatKey(key: number): string {
  return `key ${spellKey(key, FIFTHS_CENTRE, { octave: true })} (${key})`;
}

function formatPort(port: string, virtual: boolean): string {
  return virtual ? `"${port}", a port of our own` : `"${port}"`;
}
