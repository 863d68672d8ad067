import { expect, test } from 'vitest';
import type { SessionEvent } from '../../../src/app/live/session-event.js';
import { formatEvent } from '../../../src/cli/format/session-event.js';
import { LIMITS } from '../../../src/core/protocol/index.js';
import { LeewayError } from '../../../src/io/leeway-error.js';
import { toPlaces } from '../../../src/io/ports/match-port.js';
import { busyError } from '../../../src/io/ports/port-problems.js';
import { seekPlace } from '../../../src/io/ports/seek-place.js';

const full = new LeewayError({ code: 'FILE_NO_SPACE', message: 'No space left.', advice: 'Free some.' });

const SLOW = '3 more are missing, since the disk was too slow.';
const ENDED = 'The recording has ended with what was written so far; the playing is not touched.';

test.each<[SessionEvent, 'info' | 'warn', string]>([
  [{ kind: 'preset-loaded', name: 'slow-hymns' }, 'info', 'The preset is slow-hymns.'],
  [{ kind: 'take-begun', folder: 'takes/a' }, 'info', 'Recording into takes/a.'],
  [
    { kind: 'take-ended', folder: 'takes/a', messages: 1, dropped: 0 },
    'info',
    'The take is in takes/a: 1 message.',
  ],
  [
    { kind: 'take-ended', folder: 'takes/a', messages: 20, dropped: 3 },
    'info',
    `The take is in takes/a: 20 messages. ${SLOW}`,
  ],
  [
    { kind: 'take-gap', folder: 'takes/a' },
    'warn',
    'The disk is too slow for the take in takes/a: some of it is missing.',
  ],
  [
    { kind: 'take-later', directory: 'b' },
    'info',
    'Takes go to b from the next start on; until then it stays as it is.',
  ],
  [
    { kind: 'take-later', directory: undefined },
    'info',
    'From the next start on nothing is recorded; until then it stays as it is.',
  ],
  [{ kind: 'drained', cause: 'loop' }, 'info', ''],
  [
    { kind: 'zones-told', input: 'Keys', lower: 15, upper: 0 },
    'info',
    '"Keys" plays MPE: a lower zone of 15 member channels.',
  ],
  [
    { kind: 'zones-told', input: 'Keys', lower: 7, upper: 1 },
    'info',
    '"Keys" plays MPE: a lower zone of 7 member channels and an upper zone of 1 member channel.',
  ],
  [{ kind: 'zones-told', input: 'Keys', lower: 0, upper: 0 }, 'info', '"Keys" plays plain channels.'],
  [{ kind: 'input-reopened', input: 'Keys' }, 'info', '"Keys" is listened to again.'],
])('an event of a session is written in words: %j', (event, level, text) =>
  expect(formatEvent(event)).toEqual({ level, text }),
);

test('a take that failed is an error with its code', () => {
  const told = { level: 'error', code: 'FILE_NO_SPACE', text: `${ENDED} No space left. Free some.` };
  expect(formatEvent({ kind: 'take-failed', error: full })).toEqual(told);
});

test.each<[SessionEvent, string, string]>([
  [
    { kind: 'fuse-open', input: 'Keys', most: 8000 },
    'RATE_FUSE',
    '"Keys" sent more than 8000 messages within a second and is cut off. Find out what sends so much; a panic (SIGUSR1, the page, another input) lets it pass again.',
  ],
  [
    { kind: 'loop-found', input: 'Keys', outlet: 'Synth' },
    'FEEDBACK_LOOP',
    '"Keys" hears what is sent to "Synth" and is cut off. Unplug what leads from there to here; a panic (SIGUSR1, the page, another input) lets it pass again.',
  ],
])('an input that was cut off is an error with its code and the next step: %j', (event, code, text) =>
  expect(formatEvent(event)).toEqual({ level: 'error', code, text }),
);

test('the next step after a loop fits into a notice of the page, with ports of 28 letters', () => {
  const [input, outlet] = ['k', 's'].map((letter) => letter.repeat(28));
  for (const event of [
    { kind: 'loop-found', input, outlet },
    { kind: 'fuse-open', input, most: 100_000 },
  ] as const)
    expect(formatEvent(event).text.length).toBeLessThanOrEqual(LIMITS.text);
});

const SYNTH = { direction: 'output', name: 'Synth', own: false } as const;

test('a busy port is told once in words: what it is, the usual cause, and that it is tried again', () =>
  expect(
    formatEvent({
      kind: 'failed',
      port: SYNTH,
      error: busyError('output', { name: 'Synth', occurrence: 1 }),
    }),
  ).toEqual({
    level: 'warn',
    code: 'PORT_BUSY',
    text: 'The MIDI output "Synth" can\'t be opened. Most often another program holds it: close that one, or release the port in its settings. Leeway keeps trying, and says when it is open.',
  }));

test('a missing port is waited for, and the name that may be meant is suggested', () => {
  const sought = seekPlace({ ...SYNTH, name: 'Snyth' }, { inputs: [], outputs: toPlaces(['Synth']) }, []);
  if (sought.kind !== 'away') throw new Error('It is there.');
  expect(formatEvent({ kind: 'waiting', port: { ...SYNTH, name: 'Snyth' }, error: sought.reason })).toEqual({
    level: 'warn',
    code: 'PORT_MISSING',
    text: 'Waiting for output "Snyth": plug it in or start it. Did you mean "Synth"? There are: "Synth".',
  });
});
