import { expect, test } from 'vitest';
import type { SessionEvent } from '../../../src/app/live/session-event.js';
import { tellEvent } from '../../../src/cli/format/session-event.js';
import { LIMITS } from '../../../src/core/protocol/index.js';
import { LeewayError } from '../../../src/io/leeway-error.js';

const full = new LeewayError({ code: 'FILE_NO_SPACE', message: 'No space left.', advice: 'Free some.' });

test.each<[SessionEvent, object]>([
  [
    { kind: 'take-begun', folder: 'takes/a' },
    { level: 'info', text: 'Recording into takes/a.' },
  ],
  [
    { kind: 'take-ended', folder: 'takes/a', messages: 1, dropped: 0 },
    { level: 'info', text: 'The take is in takes/a: 1 message.' },
  ],
  [
    { kind: 'take-ended', folder: 'takes/a', messages: 20, dropped: 3 },
    {
      level: 'info',
      text: 'The take is in takes/a: 20 messages. 3 more are missing, since the disk was too slow.',
    },
  ],
  [
    { kind: 'take-gap', folder: 'takes/a' },
    { level: 'warn', text: 'The disk is too slow for the take in takes/a: some of it is missing.' },
  ],
  [
    { kind: 'take-failed', error: full },
    {
      level: 'error',
      code: 'FILE_NO_SPACE',
      text: 'The recording has ended with what was written so far; the playing is not touched. No space left. Free some.',
    },
  ],
  [
    { kind: 'take-later', directory: 'b' },
    { level: 'info', text: 'Takes go to b from the next start on; until then it stays as it is.' },
  ],
  [
    { kind: 'take-later', directory: undefined },
    { level: 'info', text: 'From the next start on nothing is recorded; until then it stays as it is.' },
  ],
  [
    { kind: 'fuse-open', input: 'Keys', most: 8000 },
    {
      level: 'error',
      code: 'RATE_FUSE',
      text: '"Keys" sent more than 8000 messages within a second and is cut off. Find out what sends so much; a panic (SIGUSR1, the page, another input) lets it pass again.',
    },
  ],
  [
    { kind: 'loop-found', input: 'Keys', outlet: 'Synth' },
    {
      level: 'error',
      code: 'FEEDBACK_LOOP',
      text: '"Keys" hears what is sent to "Synth" and is cut off. Unplug what leads from there to here; a panic (SIGUSR1, the page, another input) lets it pass again.',
    },
  ],
  [
    { kind: 'drained', cause: 'loop' },
    { level: 'info', text: '' },
  ],
  [
    { kind: 'input-reopened', input: 'Keys' },
    { level: 'info', text: '"Keys" is listened to again.' },
  ],
])('%j', (event, told) => {
  expect(tellEvent(event)).toEqual(told);
});

test('what to do about a loop fits into a notice of the page, with ports of 28 letters', () => {
  const [input, outlet] = ['k', 's'].map((letter) => letter.repeat(28));
  for (const event of [
    { kind: 'loop-found', input, outlet },
    { kind: 'fuse-open', input, most: 100_000 },
  ] as const)
    expect(tellEvent(event).text.length).toBeLessThanOrEqual(LIMITS.text);
});
