import { expect, test } from 'vitest';
import { formatEntry } from '../../../src/cli/words/entries.js';
import { ratio } from '../../../src/core/theory/index.js';
import { createTuner, type LedgerEntry, toSettings } from '../../../src/core/tuner/index.js';

const SPAN = { atMs: 1000, untilMs: 3500 };

test.each<[string, LedgerEntry]>([
  [
    'D4 came back one syntonic comma lower: 80/81, −21.5 c.',
    { kind: 'return', atMs: 0, noteId: 3, part: 0, key: 62, ratio: ratio('80/81'), cents: -21.506 },
  ],
  [
    'Brought back toward home by +13.5 c: 1 new note took it at once, 2 tied notes glided along.',
    { kind: 'offset', ...SPAN, cents: 13.5, cause: 'anchor', struck: 1, tied: 2 },
  ],
  [
    'Brought back toward home by −13.5 c: 3 new notes took it at once.',
    { kind: 'offset', ...SPAN, cents: -13.5, cause: 'anchor', struck: 3, tied: 0 },
  ],
  [
    'Pulled toward home by +7.5 c in 2.5 s: 4 sounding notes glided along.',
    { kind: 'offset', ...SPAN, cents: 7.5, cause: 'pull', struck: 0, tied: 4 },
  ],
  [
    'Moved by −2.5 c, as planned: 1 new note took it at once, 3 tied notes glided along.',
    { kind: 'offset', ...SPAN, cents: -2.5, cause: 'plan', struck: 1, tied: 3 },
  ],
  [
    'E4 kept its pitch for 2.5 s, at last 3.0 c below the harmony (7.50 cent-seconds).',
    { kind: 'impurity', ...SPAN, noteId: 1, part: 0, key: 64, cents: -3, centSeconds: 7.5 },
  ],
])('%s', (sentence, entry) => {
  expect(formatEntry(entry, [], createTuner(toSettings({})))).toBe(sentence);
});
