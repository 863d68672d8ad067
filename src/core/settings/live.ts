import { amount, whole } from './kinds.js';
import { CHANNEL, ROLE } from './role.js';
import type { Action, Table } from './setting.js';
import { TUNER } from './tuning.js';

const SENT = ['retune', 'compare', 'live', 'demo', 'tone'] as const;

const BEND_RANGE = whole(1, 96, 'semitones');
/** A key, by its name or its number. */
const KEY = { kind: 'key', least: 0, most: 127, unit: 'keys', whole: true } as const;
export const PORT = { kind: 'text', what: 'the name of a port', short: 'a name' } as const;

/** Which channels have a role. */
const HEARD = {
  kind: 'channels',
  ...CHANNEL,
  mayBeEmpty: true,
  does: 'the channels that have the role (the rest passes unchanged and is not heard)',
  default: 'all but 10',
} as const;

/** A port to be played from. */
export const INPUT = {
  port: { ...PORT, does: 'what the port is called' },
  virtual: {
    kind: 'switch',
    does: 'make the port ourselves, for other programs to play to',
    default: 'true without port, else false',
  },
  channels: HEARD,
  ...ROLE,
  'bend-range': { ...BEND_RANGE, field: 'bendRange', does: "how far the player's own pitch wheel reaches" },
  mpe: {
    kind: 'word',
    words: {
      auto: 'by the configuration message of an MPE keyboard',
      lower: 'channel 1 and its members up to 16, before any such message',
      upper: 'channel 16 and its members down to 1',
      both: '1 to 8 and 16 to 9',
      off: 'never',
    },
    does: 'which channels are a zone: one part, with bend, pressure and CC 74 for each note',
  },
} as const satisfies Table;

/** A range of an input's keys. */
export const SPLIT = {
  name: { kind: 'text', what: 'a name', short: 'a name', does: 'what outlets call it' },
  input: { ...PORT, does: 'the input it is part of, by its port', default: 'the only input' },
  lowest: { ...KEY, does: 'its lowest key' },
  highest: { ...KEY, does: 'its highest key' },
  transpose: {
    kind: 'number',
    least: -60,
    most: 60,
    unit: 'semitones',
    whole: true,
    does: 'how far its notes are moved up',
  },
  controllers: {
    kind: 'switch',
    does: 'let pedals, wheels and all else beside notes reach it',
  },
  channels: HEARD,
  ...ROLE,
} as const satisfies Table;

/** A port to play to, and how it gets the pitch. */
export const OUTLET = {
  port: { ...PORT, does: 'what the port is called' },
  virtual: {
    kind: 'switch',
    does: 'make the port ourselves, for other programs to hear',
    default: 'true without port, else false',
  },
  kind: {
    kind: 'word',
    words: {
      mpe: 'a zone for each track',
      multichannel: 'for any General MIDI synth',
      mts: 'MIDI tuning messages',
    },
    does: 'how the pitch travels',
    option: { value: 'kind', of: SENT, name: 'outlet' },
  },
  'bend-range': {
    ...BEND_RANGE,
    field: 'bendRange',
    does: "the synth's pitch-bend range",
    default: { key: 'kind', is: ['mpe', 'multichannel'] },
    option: { value: 'semitones', of: SENT },
    only: { key: 'kind', is: ['mpe', 'multichannel'] },
    idle: [{ key: 'kind', is: ['mts'], why: ', which sends no bends' }],
  },
  zone: {
    kind: 'word',
    words: { lower: '', upper: '' },
    does: 'which end of the sixteen channels is used',
    only: { key: 'kind', is: ['mpe'] },
  },
  members: {
    ...whole(1, 15, 'member channels'),
    does: 'how many channels carry notes',
    only: { key: 'kind', is: ['mpe'] },
  },
  channels: {
    kind: 'channels',
    ...CHANNEL,
    does: 'the channels that carry notes',
    default: 'all but 10',
    only: { key: 'kind', is: ['multichannel'] },
  },
  'release-hold': {
    ...amount(0, 10_000, 'milliseconds'),
    field: 'releaseHoldMs',
    does: 'how long the tail of a released note is left unbent',
    only: { key: 'kind', is: ['mpe', 'multichannel'] },
  },
  wire: {
    kind: 'word',
    words: { fast: '', din: 'a cable with round plugs, which is slow: 3125 bytes a second' },
    does: 'what the messages travel over',
  },
  from: {
    kind: 'names',
    does: 'what it plays: inputs by their ports, and splits by their names',
    default: 'all inputs',
  },
} as const satisfies Table;

/** An action of the player. */
export const ACTION = {
  controller: {
    // 120 to 127 are channel mode messages, such as All Notes Off: they must pass.
    ...whole(0, 119, 'controllers'),
    isLabel: true,
    does: 'the controller that asks, such as a foot switch (it is not passed on)',
  },
  note: {
    ...KEY,
    does: 'the key that asks, instead of a controller (it is not played)',
  },
  program: {
    ...whole(1, 128, 'programs'),
    isLabel: true,
    fromOne: true,
    does: 'the program change that asks, instead of a controller (it is not passed on)',
  },
  switch: {
    kind: 'word',
    words: {
      momentary: 'it comes up with the foot',
      latching:
        'it comes up at the next press, which asks too, and bypass and hold-drift are on while it is down',
    },
    does: 'how the foot switch works',
    only: { key: 'controller', is: [] },
  },
  channel: { kind: 'number', ...CHANNEL, does: 'the channel it must come on', default: 'any' },
  input: { ...PORT, does: 'the input it must come from, by its port', default: 'any' },
  do: {
    kind: 'word',
    words: {
      'home-now': 'go home now',
      'home-next': 'go home at the next strike',
      panic: 'silence everything',
      'next-strategy': 'change to the next strategy',
      strategy: 'change to the strategy given',
      tonic: 'change to the tonic given',
      'tonic-from-bass': 'put the tonic on the lowest sounding note',
      limit: 'change to the prime limit given',
      'limit-up': 'raise the prime limit',
      'limit-down': 'lower the prime limit',
      'hold-drift': 'hold the drift where it is, or free it again',
      'hold-drift-on': 'hold the drift where it is',
      'hold-drift-off': 'free the drift again',
      bypass: 'turn 12 equal on and off',
      'bypass-on': 'turn 12 equal on',
      'bypass-off': 'turn 12 equal off',
      preset: 'load the preset given',
      cue: 'play the cue, in which strategy and drift are heard',
    } satisfies Record<Action, string>,
    does: 'what is asked for',
  },
  strategy: {
    kind: 'word',
    words: TUNER.strategy.words,
    does: 'the strategy to change to',
    only: { key: 'do', is: ['strategy'] },
  },
  limit: {
    kind: 'prime',
    words: TUNER.limit.words,
    does: 'the prime limit to change to',
    only: { key: 'do', is: ['limit'] },
  },
  tonic: {
    kind: 'tonic',
    does: 'the tonic to change to',
    only: { key: 'do', is: ['tonic'] },
  },
  preset: {
    kind: 'text',
    what: 'the path of a settings file',
    short: 'a file',
    does: 'the settings file whose tuning is loaded, as seen from this one (what it leaves out stays as it is here)',
    only: { key: 'do', is: ['preset'] },
  },
} as const satisfies Table;

/** A live session as a whole. */
export const LIVE = {
  fuse: {
    ...whole(100, 100_000, 'messages a second'),
    does: 'how much an input may send before it is cut off: no player sends as much (a DIN cable carries 1000)',
  },
  wait: {
    ...amount(0, 20, 'milliseconds'),
    field: 'waitMs',
    does: 'how long everything waits, so that the notes of a chord gather and start in tune',
    option: { value: 'ms', of: ['live'] },
  },
  'pass-system': { kind: 'switch', field: 'systemMessages', does: 'let clock, transport and SysEx pass' },
  take: {
    kind: 'text',
    what: 'the path of a folder',
    short: 'a folder',
    field: 'takeDirectory',
    does: 'record what is played, and what goes out, in this folder',
    option: { value: 'folder', of: ['live', 'demo'] },
  },
} as const satisfies Table;
