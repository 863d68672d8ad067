import { describe, expect, test } from 'vitest';
import { readDocument } from '../../../src/cli/settings/read-document.js';

describe('tables of a settings document', () => {
  test('a table of which there may be several is always a list', () => {
    const { settings, mistakes } = readDocument({ outlet: { kind: 'mts' }, input: [{}, {}], live: {} });
    expect(settings).toEqual({ outlet: [{ kind: 'mts' }], input: [{}, {}], live: {} });
    expect(mistakes).toEqual([]);
  });

  test.each([
    [{ outlet: 3 }, ['outlet']],
    [{ outlet: [] }, ['outlet']],
    [{ outlet: [{}, 3] }, ['outlet', 1]],
    [{ outlet: [[{}]] }, ['outlet', 0]],
    [{ tuning: [{}] }, ['tuning']],
    [{ tuning: new Date(0) }, ['tuning']],
    [{ live: null }, ['live']],
  ])('are mistakes where a document has something else: %j', (parsed, path) => {
    const { mistakes } = readDocument(parsed);
    expect(mistakes.map(({ path: at, problem }) => [at, problem.code])).toEqual([[path, 'SETTINGS_TABLE']]);
  });

  test('a single table has no index in the file, one of a list has', () => {
    const { toFilePath } = readDocument({ outlet: { kind: 3 }, input: [{ port: 3 }], tuning: { limit: 4 } });
    expect(toFilePath(['outlet', 0, 'kind'])).toEqual(['outlet', 'kind']);
    expect(toFilePath(['input', 0, 'port'])).toEqual(['input', 0, 'port']);
    expect(toFilePath(['tuning', 'limit'])).toEqual(['tuning', 'limit']);
    expect(toFilePath(['input'])).toEqual(['input']);
  });
});

test('of a document, readable values are read, unreadable ones are undefined, and unknown ones are left out', () => {
  const parsed = { outlet: { kind: 'mtz', members: 3, membres: 3 }, live: { fuse: 'x' }, liv: {} };
  const { settings, mistakes } = readDocument(parsed);
  expect(settings).toStrictEqual({ outlet: [{ kind: undefined, members: 3 }], live: { fuse: undefined } });
  expect(mistakes.map(({ path }) => path.join('.'))).toEqual(
    'outlet.kind outlet.membres live.fuse liv'.split(' '),
  );
});

test.each([{ input: 3 }, { input: [3] }])(
  'of the document %j, which is not a table, no setting is read',
  (parsed) => {
    const { input } = readDocument(parsed).settings;
    expect(input).toStrictEqual([
      {
        port: undefined,
        virtual: undefined,
        channels: undefined,
        role: undefined,
        scale: undefined,
        tonic: undefined,
        a4: undefined,
        'bend-range': undefined,
        mpe: undefined,
      },
    ]);
  },
);
