import { amount, whole } from './kinds.js';
import { ACTION, PORT } from './live.js';
import { CHANNEL } from './role.js';
import type { Table } from './setting.js';

const UNITS = 'units of what it sets';

/** A controller that turns a setting of the tuning. */
export const KNOB = {
  controller: {
    ...whole(ACTION.controller.least, ACTION.controller.most, ACTION.controller.unit),
    isLabel: true,
    does: 'the controller that is turned (it is not passed on)',
  },
  channel: { kind: 'number', ...CHANNEL, does: 'the channel it must come on', default: 'any' },
  input: { ...PORT, does: 'the input it must come from, by its port', default: 'any' },
  sets: {
    kind: 'word',
    words: {
      leeway: 'of pull and of anchored',
      rate: 'each step by the same factor',
      a4: 'the middle of the knob is the middle between least and most',
      recall: '',
    },
    does: 'the setting of the tuning that it turns',
  },
  least: {
    ...amount(0, 1000, UNITS),
    does: 'the value at its lower end, within the bounds of the setting (it may be above most)',
    default: '0 for leeway and recall, 0.5 for rate, 430 for a4',
  },
  most: {
    ...amount(0, 1000, UNITS),
    does: 'the value at its upper end',
    default: '25 for leeway and recall, 50 for rate, 450 for a4',
  },
} as const satisfies Table;

const LAMPS = ['strategy', 'preset', 'limit', 'tonic', 'hold-drift', 'bypass', 'cut-off'] as const;
const METERS = ['drift', 'from-home'] as const;

/** A light or a meter of a controller, which shows the state of a session. */
export const LAMP = {
  port: { ...PORT, does: 'what the port is called' },
  virtual: {
    kind: 'switch',
    does: 'make the port ourselves, for other programs to hear',
    default: 'false',
  },
  channel: { kind: 'number', ...CHANNEL, does: 'the channel it is sent on', default: '1' },
  controller: {
    ...whole(0, 119, 'controllers'),
    isLabel: true,
    does: 'the controller that is sent',
  },
  note: {
    ...ACTION.note,
    does: 'the key that is sent, instead of a controller',
  },
  shows: {
    kind: 'word',
    words: {
      strategy: 'on under the strategy given',
      preset: 'on once the preset given is loaded, until another one is, or the settings are read again',
      limit: 'on at the prime limit given',
      tonic: 'on at the tonic given',
      'hold-drift': 'on while the drift is held',
      bypass: 'on while all is in 12 equal',
      'cut-off': 'on while an input is cut off, until a panic',
      drift: 'a meter of how far the commas have moved the pitch, less what was given back',
      'from-home': 'a meter of how far the average of the sounding notes is from home',
    },
    does: 'what it shows',
  },
  is: {
    kind: 'label',
    does: 'when it is on: a strategy, a limit, a tonic, or a preset by its file without the ending',
    only: { key: 'shows', is: ['strategy', 'preset', 'limit', 'tonic'] },
  },
  on: {
    ...whole(1, 127, 'values'),
    isLabel: true,
    does: 'the value or velocity that turns it on (0 turns it off)',
    only: { key: 'shows', is: [...LAMPS] },
  },
  least: {
    ...amount(-1200, -1, 'cents'),
    field: 'leastCents',
    does: 'the distance that a meter shows as 0 (it is at 64 where there is none)',
    only: { key: 'shows', is: [...METERS] },
  },
  most: {
    ...amount(1, 1200, 'cents'),
    field: 'mostCents',
    does: 'the distance that a meter shows as 127',
    only: { key: 'shows', is: [...METERS] },
  },
} as const satisfies Table;
