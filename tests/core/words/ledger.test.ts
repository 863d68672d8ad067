import { expect, test } from 'vitest';
import { formatEntry, type NamedEntry } from '../../../src/core/words/index.js';

const RETURN = {
  kind: 'return',
  name: 'D',
  comma: '−1 syntonic comma',
  cents: -21.506,
  was: '9/8',
  now: '10/9',
} as const;
const STEP = { kind: 'drift', name: 'G', comma: '−1 syntonic comma', cents: -21.506 } as const;
const SPAN = { atMs: 1000, untilMs: 3500 };
const OFFSET = { kind: 'offset', ...SPAN, struck: 1, tied: 2, held: 'follow' } as const;
const IMPURITY = {
  kind: 'impurity',
  ...SPAN,
  name: 'E4',
  strategy: 'anchored',
  cents: -3,
  centSeconds: 7.5,
} as const;

test.each<[string, NamedEntry]>([
  ['D came back one syntonic comma lower (−21.5 c): 10/9 instead of 9/8.', RETURN],
  [
    'D came back 2 syntonic commas higher (+43.0 c): 9/8 instead of 10/9.',
    { ...RETURN, comma: '+2 syntonic commas', cents: 43.01, was: '10/9', now: '9/8' },
  ],
  ['D came back one syntonic comma lower (−21.5 c).', { ...RETURN, now: '2560000/1594323' }],
  [
    'D4 came back one syntonic comma lower (−21.5 c).',
    { kind: 'return', name: 'D4', comma: '−1 syntonic comma', cents: -21.506 },
  ],
  [
    'B♭ came back one syntonic comma lower and one septimal comma higher (+5.8 c): 10/9 instead of 9/8.',
    { ...RETURN, name: 'B♭', comma: '−1 syntonic comma, +1 septimal comma', cents: 5.758 },
  ],
  [
    'G came back a comma low: it was tied to D. That moved the drift by −21.5 c.',
    { ...STEP, isReturn: true, by: 'D' },
  ],
  ['G came back a comma low. That moved the drift by −21.5 c.', { ...STEP, isReturn: true, by: '' }],
  [
    'From G on the harmony is one syntonic comma lower. That moved the drift by −21.5 c.',
    { ...STEP, isReturn: false, by: '' },
  ],
  [
    'The first chord was placed at home: +3.9 c for every note.',
    { ...OFFSET, cause: 'first strike', cents: 3.91 },
  ],
  [
    'The pitch moved by +13.5 c toward home: 1 struck note took it at once, 2 held notes glided.',
    { ...OFFSET, cause: 'anchor', cents: 13.5 },
  ],
  [
    'The pitch moved by −13.5 c toward home: 3 struck notes took it at once.',
    { ...OFFSET, cause: 'anchor', cents: -13.5, struck: 3, tied: 0 },
  ],
  [
    'The pitch moved by −6.0 c toward home: 1 struck note took it at once, 2 held notes kept their pitch.',
    { ...OFFSET, cause: 'anchor', cents: -6, held: 'stay' },
  ],
  [
    'The pitch moved by +2.0 c to temper the chord: 1 struck note took it at once, 1 held note glided.',
    { ...OFFSET, cause: 'temper', cents: 2, tied: 1 },
  ],
  [
    'The pitch moved by −2.5 c, as planned: 1 struck note took it at once, 3 held notes glided.',
    { ...OFFSET, cause: 'plan', cents: -2.5, tied: 3 },
  ],
  ['Went home: +43.0 c for everything that sounded.', { ...OFFSET, cause: 'home', cents: 43.01 }],
  [
    'The pitch moved by +7.5 c toward home in 2.5 s: 4 held notes glided.',
    { ...OFFSET, cause: 'pull', cents: 7.5, struck: 0, tied: 4 },
  ],
  [
    'The pitch moved by +7.5 c toward home in 2.5 s: only struck notes took it.',
    { ...OFFSET, cause: 'pull', cents: 7.5, struck: 0, tied: 4, held: 'stay' },
  ],
  [
    'The pitch moved by +7.5 c toward home in 2.5 s: no note sounded.',
    { ...OFFSET, cause: 'pull', cents: 7.5, struck: 0, tied: 0 },
  ],
  [
    'The pitch moved by +2.0 c toward home: 1 held note kept its pitch.',
    { ...OFFSET, cause: 'anchor', cents: 2, struck: 0, tied: 1, held: 'stay' },
  ],
  [
    'The pitch moved by +2.0 c, to the fixed part: 2 held notes glided.',
    { ...OFFSET, cause: 'partner', cents: 2, struck: 0, tied: 2 },
  ],
  ['The pitch moved by +2.0 c, as planned.', { ...OFFSET, cause: 'plan', cents: 2, struck: 0, tied: 0 }],
  ['E4 kept its pitch for 2.5 s, at last 3.0 c below its pure ratio (7.50 cent-seconds).', IMPURITY],
  [
    'E4 was tempered for 2.5 s, at last 3.0 c above its pure ratio (7.50 cent-seconds).',
    { ...IMPURITY, strategy: 'temper', cents: 3 },
  ],
])('a ledger entry is written in words: %s', (sentence, entry) => expect(formatEntry(entry)).toBe(sentence));
