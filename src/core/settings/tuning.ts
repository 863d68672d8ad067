import { A4_BOUNDS_HZ, type BuiltInHomeKind, type PrimeLimit } from '../theory/index.js';
import type { Strategy, TunerSettings } from '../tuner/index.js';
import { amount } from './kinds.js';
import type { Table } from './setting.js';

const TUNED = ['retune', 'explain', 'compare', 'live', 'demo'] as const;
const PLANNED = ['retune', 'explain', 'compare'] as const;

/** Settings of the tuner. `field` is the name in TunerSettings; home, tonic and a4 are converted for it. */
export const TUNER = {
  strategy: {
    kind: 'word',
    words: {
      free: 'the pitch may drift',
      pull: 'it is drawn back slowly',
      anchored: 'no farther from home than the leeway',
      temper: 'the harmony shares what is amiss',
    } satisfies Record<Strategy, string>,
    does: 'who pays for pure chords',
    option: { value: 'how', of: TUNED },
    actions: ['strategy', 'next-strategy'],
  },
  leeway: {
    ...amount(0, 600, 'cents'),
    field: 'leewayCents',
    does: 'how far the average of the sounding notes may be from home',
    default: { key: 'strategy', is: ['anchored', 'pull'] },
    option: { value: 'cents', of: TUNED },
    page: { group: 'strategy', label: 'Leeway', step: 1 },
    idle: [
      { key: 'strategy', is: ['free'], why: ', which never brings the pitch back' },
      { key: 'strategy', is: ['temper'], why: ', which shares out what is amiss at every strike' },
    ],
  },
  rate: {
    ...amount(0.1, 100, 'cents a second'),
    field: 'rateCentsPerSecond',
    does: 'how fast pull draws back',
    option: { value: 'cents', of: TUNED },
    page: { group: 'strategy', label: 'Pull', step: 0.5 },
    idle: [{ key: 'strategy', is: ['free', 'anchored', 'temper'], why: '; it is the speed of pull' }],
  },
  recall: {
    ...amount(0, 50, 'cents'),
    leastMeans: 'pure chords come first',
    field: 'recallCents',
    does: 'how far off a pure chord a note may be to come back where it was',
    option: { value: 'cents', of: TUNED },
    page: { group: 'strategy', label: 'Recall: off a pure chord by up to', step: 1 },
  },
  held: {
    kind: 'word',
    words: { follow: 'glide along', stay: 'keep their pitch' } satisfies Record<
      TunerSettings['held'],
      string
    >,
    does: 'what held notes do when the others move',
    option: { value: 'what', of: TUNED },
    page: { group: 'strategy', label: 'Held notes' },
    idle: [{ key: 'strategy', is: ['free'], why: ', which never moves a held note' }],
  },
  limit: {
    kind: 'prime',
    words: { 3: 'fifths', 5: 'thirds too', 7: '', 11: '', 13: 'higher harmonics too' } satisfies Record<
      PrimeLimit,
      string
    >,
    does: 'the highest prime in the ratios',
    option: { value: 'prime', of: TUNED },
    page: { group: 'ear', label: 'Primes up to' },
    actions: ['limit', 'limit-up', 'limit-down'],
  },
  home: {
    kind: 'scale',
    names: {
      equal: '12 equal',
      just: 'just',
      meantone: 'quarter-comma meantone',
      pythagorean: 'Pythagorean',
    } satisfies Record<BuiltInHomeKind, string>,
    does: 'the scale drift is measured from',
    option: { value: 'scale', of: TUNED },
    page: { group: 'home', label: 'Scale' },
  },
  tonic: {
    kind: 'tonic',
    does: 'the note home is built on',
    option: { value: 'note', of: TUNED },
    page: { group: 'home', label: 'Tonic' },
    actions: ['tonic', 'tonic-from-bass'],
  },
  a4: {
    kind: 'pitch',
    least: A4_BOUNDS_HZ[0],
    most: A4_BOUNDS_HZ[1],
    unit: 'hertz',
    field: 'a4Hz',
    does: 'the pitch of the A above middle C',
    option: { value: 'hertz', of: TUNED },
    page: { group: 'home', label: 'A', step: 0.1 },
  },
  glide: {
    ...amount(0, 2000, 'milliseconds'),
    field: 'glideMs',
    does: 'how long a held note takes to follow',
  },
  'strike-window': {
    ...amount(0, 200, 'milliseconds'),
    field: 'strikeWindowMs',
    does: 'how long a note may still be revised by what is struck with it',
    page: { group: 'ear', label: 'Struck together within', step: 5 },
  },
} as const satisfies Table;

/** How a file is tuned, beside the tuner's own settings. */
export const PLAN = {
  plan: {
    kind: 'word',
    words: { whole: 'with the whole piece known', live: 'as it would be while it is played' },
    does: 'how a file is tuned',
    option: { value: 'how', of: PLANNED },
    idle: [
      {
        key: 'strategy',
        is: ['temper'],
        why: ', which makes every interval the same, whatever its ratio',
      },
    ],
  },
  end: {
    kind: 'word',
    words: {
      open: 'wherever pure chords lead',
      home: 'with no drift left, given back a comma at a time where that is least heard',
    },
    does: 'where a planned piece ends',
    option: { value: 'where', of: PLANNED },
    only: { key: 'plan', is: ['whole'] },
  },
  smooth: {
    ...amount(0, 1000, 'seconds'),
    field: 'smoothSeconds',
    does: 'under anchored, how long a note may be a cent from home before that is as bad as moving it',
    option: { value: 'seconds', of: PLANNED },
    only: { key: 'plan', is: ['whole'] },
    idle: [{ key: 'strategy', is: ['free', 'pull', 'temper'], why: '; it is for anchored' }],
  },
} as const satisfies Table;
