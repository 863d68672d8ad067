import { expect, test } from 'vitest';
import { DEFAULT_LIVE_SETTINGS } from '../../../src/app/live/live-settings.js';
import { toTakeLine } from '../../../src/app/live/take-line.js';
import { ratio } from '../../../src/core/theory/index.js';
import { DEFAULT_SETTINGS } from '../../../src/core/tuner/index.js';
import { LeewayError } from '../../../src/io/leeway-error.js';

const toLine = (what: Parameters<typeof toTakeLine>[1], atMs = 1500) =>
  toTakeLine(atMs, what, 1000, [
    { input: 'Keys', name: undefined },
    { input: 'Pads', name: undefined },
    { input: 'Pads', name: 'Left hand' },
  ]);

test("a take's ledger has of a return the exact ratio, all the cents, and where it was played", () => {
  const cents = 1200 * Math.log2(80 / 81);
  const entry = {
    kind: 'return',
    atMs: 0,
    noteId: 3,
    part: 18,
    key: 62,
    ratio: ratio('80/81'),
    cents,
  } as const;
  expect(toLine(entry)).toEqual({
    atMs: 500,
    kind: 'return',
    input: 'Pads',
    channel: 3,
    key: 62,
    ratio: '80/81',
    cents,
  });
});

test("a take's ledger names the split", () => {
  const entry = { kind: 'impurity', atMs: 1000, untilMs: 1600, part: 32, key: 60 } as const;
  expect(toLine({ ...entry, noteId: 3, cents: 2, centSeconds: 0.2 })).toMatchObject({
    input: 'Pads',
    split: 'Left hand',
    channel: 1,
  });
});

test("a take's ledger counts an offset move that began before the take from its start", () => {
  const cause = 'pull' as const;
  const entry = {
    kind: 'offset',
    atMs: 0,
    untilMs: 2000.1234567,
    cents: -1.5,
    cause,
    struck: 0,
    tied: 3,
  } as const;
  expect(toLine(entry, 990)).toEqual({
    atMs: 0,
    kind: 'offset',
    untilMs: 1000.123,
    cents: -1.5,
    cause,
    struck: 0,
    tied: 3,
  });
});

test("a take's ledger has an impurity with its length and its size", () => {
  const times = { atMs: 1500, untilMs: 1600 };
  const entry = {
    kind: 'impurity',
    ...times,
    noteId: 1,
    part: 0,
    key: 60,
    cents: 2,
    centSeconds: 0.2,
  } as const;
  expect(toLine(entry)).toEqual({
    atMs: 500,
    kind: 'impurity',
    untilMs: 600,
    input: 'Keys',
    channel: 1,
    key: 60,
    cents: 2,
    centSeconds: 0.2,
  });
});

test("a take's ledger has changes of all settings and of the tuning", () => {
  expect(toLine({ kind: 'tuning-changed', settings: DEFAULT_SETTINGS })).toMatchObject({
    atMs: 500,
    kind: 'tuning-changed',
    tuning: { strategy: 'anchored', leewayCents: 8 },
  });
  expect(toLine({ kind: 'reloaded', settings: DEFAULT_LIVE_SETTINGS })).toMatchObject({
    kind: 'reloaded',
    tuning: { limit: 5 },
    outlets: [{ port: 'Leeway', kind: 'mpe' }],
  });
});

test("a take's ledger has what happens to a session, in words and numbers alone", () => {
  const error = new LeewayError({ code: 'PORT_BUSY', message: 'Busy.', advice: 'Wait.' });
  const port = { direction: 'input', name: 'Keys', own: false } as const;
  expect(toLine({ kind: 'acted', action: 'home-now' })).toEqual({
    atMs: 500,
    kind: 'acted',
    action: 'home-now',
  });
  expect(toLine({ kind: 'drained', cause: 'panic' })).toEqual({ atMs: 500, kind: 'drained', cause: 'panic' });
  expect(toLine({ kind: 'opened', port, place: { name: 'Keys', occurrence: 1 } })).toEqual({
    atMs: 500,
    kind: 'opened',
    direction: 'input',
    port: 'Keys',
  });
  expect(toLine({ kind: 'failed', port, error })).toEqual({
    atMs: 500,
    kind: 'failed',
    direction: 'input',
    port: 'Keys',
    code: 'PORT_BUSY',
  });
  expect(toLine({ kind: 'mended', port: 'Synth', error })).toMatchObject({
    port: 'Synth',
    code: 'PORT_BUSY',
  });
  expect(toLine({ kind: 'fault', error: new Error('a string broke') })).toEqual({
    atMs: 500,
    kind: 'fault',
    message: 'a string broke',
  });
});
