import { expect, test } from 'vitest';
import { formatOthers, formatTrackRole, toTrackRoleJson } from '../../../src/cli/format/roles.js';
import { EQUAL } from '../../support/choir.js';

test('the summary has a sentence for each part that is not tuned', () => {
  const part = { channel: 4, name: 'Bass', notes: 1 } as const;
  expect(
    formatOthers({
      parts: [
        { ...part, track: 1, role: 'tuned' },
        { ...part, track: 5, role: 'fixed', notes: 96 },
        { ...part, track: null, name: '', role: 'guide' },
      ],
    }),
  ).toEqual([
    'Bass (track 5) is fixed: it passes unchanged (96 notes), and the others are tuned to it',
    'channel 4 is a guide: it is heard (1 note), and its notes are left out of the file',
  ]);
});

test('a role of a settings file is given in words, and in JSON', () => {
  expect(formatTrackRole({ number: 2, role: 'tuned' })).toBe('track 3: tuned');
  expect(formatTrackRole({ role: 'untuned' })).toBe(
    'every other track: untuned, passes unchanged, and is not heard',
  );
  expect(toTrackRoleJson({ number: 2, channels: [9], role: 'fixed', fixedCents: EQUAL })).toEqual({
    number: 3,
    name: null,
    channels: [10],
    role: 'fixed',
    fixedCents: EQUAL,
  });
});
