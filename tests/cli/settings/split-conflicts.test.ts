import { expect, test } from 'vitest';
import { findConflicts } from '../../../src/cli/settings/conflicts.js';
import type { Settings } from '../../../src/cli/settings/read-document.js';

const two = [{ port: 'A' }, { port: 'B' }];

test.each<[string, Settings, string[]]>([
  ['nothing but splits', { split: [{ name: 'Low', highest: 59 }, { lowest: 60 }] }, []],
  ['layers', { split: [{ transpose: 12 }, {}] }, []],
  ['a split of one of two inputs', { input: two, split: [{ input: 'B' }] }, []],
  ['a split of no input among two', { input: two, split: [{}] }, ['split.0 key SETTINGS_MISSING']],
  ['a split of an unreadable input', { input: two, split: [{ input: undefined }] }, []],
  [
    'a split of an input that is not there',
    { split: [{ input: 'Keys' }] },
    ['split.0.input value SETTINGS_NO_INPUT'],
  ],
  [
    'two splits of one name',
    { split: [{ name: 'Low' }, { name: 'Low' }] },
    ['split.1.name value SETTINGS_CONFLICT'],
  ],
  [
    'a split with the name of an input',
    { input: [{ port: 'A' }], split: [{ name: 'A' }] },
    ['split.0.name value SETTINGS_CONFLICT'],
  ],
  ['one key', { split: [{ lowest: 60, highest: 60 }] }, []],
  ['no key', { split: [{ lowest: 61, highest: 60 }] }, ['split.0.lowest value SETTINGS_CONFLICT']],
  [
    'a role beside splits',
    { input: [{ port: 'A', role: 'guide', channels: [0], 'bend-range': 3 }], split: [{}] },
    ['input.0.channels key SETTINGS_CONFLICT', 'input.0.role key SETTINGS_CONFLICT'],
  ],
  [
    'a role beside splits of another input',
    { input: [{ port: 'A', role: 'guide' }, { port: 'B' }], split: [{ input: 'B' }] },
    [],
  ],
  [
    'a scale for a role that has none',
    { split: [{ role: 'guide', scale: { kind: 'equal' } }] },
    ['split.0.scale key SETTINGS_CONFLICT'],
  ],
])('conflicts of splits: %s', (_, settings, conflicts) => {
  const found = findConflicts(settings);
  expect(found.map(({ keys, part, code }) => `${keys.join('.')} ${part} ${code}`)).toEqual(conflicts);
});
