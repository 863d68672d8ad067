import { whole } from './kinds.js';
import type { Table } from './setting.js';
import { TUNER } from './tuning.js';

/** MIDI channels, as people count them. */
export const CHANNEL = {
  least: 1,
  most: 16,
  unit: 'channels',
  whole: true,
  isLabel: true,
  fromOne: true,
} as const;

/** What becomes of the notes of an input, or of a track. */
export const ROLE = {
  role: {
    kind: 'word',
    words: {
      tuned: '',
      fixed: "a partner that can't be tuned; it passes unchanged, and the others are tuned to it",
      guide: 'heard as harmony, and not sent on',
      untuned: 'passes unchanged, and is not heard',
    },
    does: 'what becomes of its notes',
  },
  scale: {
    kind: 'scale',
    names: TUNER.home.names,
    does: "the scale of a partner that can't be tuned",
    default: 'equal',
    only: { key: 'role', is: ['fixed'] },
  },
  tonic: {
    kind: 'tonic',
    does: 'the note that scale is built on',
    default: 'C',
    only: { key: 'role', is: ['fixed'] },
  },
  a4: {
    kind: 'pitch',
    least: TUNER.a4.least,
    most: TUNER.a4.most,
    unit: 'hertz',
    field: 'a4Hz',
    does: 'the pitch of its A',
    default: '440',
    only: { key: 'role', is: ['fixed'] },
  },
} as const satisfies Table;

/** Tracks of a file, and their role. */
export const TRACK = {
  number: {
    ...whole(1, 65_535, 'tracks'),
    isLabel: true,
    fromOne: true,
    does: 'which track of the file, counted from 1',
  },
  name: {
    kind: 'text',
    what: 'the name of a track',
    short: 'a name',
    does: 'what the track is called, in any case, with * for any letters',
  },
  channels: {
    kind: 'channels',
    ...CHANNEL,
    does: 'the channels that have the role',
    default: 'all but 10',
  },
  ...ROLE,
} as const satisfies Table;
