import { expect, test } from 'vitest';
import { toNamedEntry } from '../../../src/cli/format/piece.js';
import { ratio } from '../../../src/core/theory/index.js';
import { createTuner, type LedgerEntry, toSettings } from '../../../src/core/tuner/index.js';
import { formatEntry } from '../../../src/core/words/index.js';

const NOTE = { noteId: 3, part: 0 };
const SPAN = { atMs: 1000, untilMs: 3500 };

test.each<[string, LedgerEntry]>([
  [
    'D4 came back one syntonic comma lower (−21.5 c).',
    { kind: 'return', atMs: 0, ...NOTE, key: 62, ratio: ratio('80/81'), cents: -21.506 },
  ],
  [
    'E4 kept its pitch for 2.5 s, at last 3.0 c below its pure ratio (7.50 cent-seconds).',
    { kind: 'impurity', ...SPAN, ...NOTE, key: 64, cents: -3, centSeconds: 7.5 },
  ],
  [
    'The pitch moved by −13.5 c toward home: 3 struck notes took it at once.',
    { kind: 'offset', ...SPAN, cents: -13.5, cause: 'anchor', struck: 3, tied: 0 },
  ],
])('a ledger entry without lattice points is written in words: %s', (sentence, entry) => {
  expect(formatEntry(toNamedEntry(entry, [], createTuner(toSettings({}))))).toBe(sentence);
});
