import { describe, expect, test } from 'vitest';
import { readWhatIsRight, toDocument } from '../../src/cli/settings-document.js';

describe('tables', () => {
  test('a table of which there may be several is always a list', () => {
    const { raw, notTables } = toDocument({ outlet: { kind: 'mts' }, input: [{}, {}], live: {} });
    expect(raw).toEqual({ outlet: [{ kind: 'mts' }], input: [{}, {}], live: {} });
    expect(notTables).toEqual([]);
  });

  test.each([
    [{ outlet: 3 }, ['outlet']],
    [{ outlet: [] }, ['outlet']],
    [{ outlet: [{}, 3] }, ['outlet', 1]],
    [{ outlet: [[{}]] }, ['outlet', 0]],
    [{ tuning: [{}] }, ['tuning']],
    [{ tuning: new Date(0) }, ['tuning']],
    [{ live: null }, ['live']],
  ])('%j is not all tables', (parsed, path) => {
    expect(toDocument(parsed).notTables).toEqual([path]);
  });

  test('a single table has no index in the file, one of a list has', () => {
    const { toFilePath } = toDocument({ outlet: { kind: 3 }, input: [{ port: 3 }], tuning: { limit: 4 } });
    expect(toFilePath(['outlet', 0, 'kind'])).toEqual(['outlet', 'kind']);
    expect(toFilePath(['input', 0, 'port'])).toEqual(['input', 0, 'port']);
    expect(toFilePath(['tuning', 'limit'])).toEqual(['tuning', 'limit']);
    expect(toFilePath(['input'])).toEqual(['input']);
  });
});

test('what can be read is, what cannot is there and undefined, what is not known is left out', () => {
  const parsed = { outlet: { kind: 'mtz', members: 3, membres: 3 }, live: { fuse: 'x' }, liv: {} };
  const right = readWhatIsRight(toDocument(parsed));
  expect(right).toStrictEqual({ outlet: [{ kind: undefined, members: 3 }], live: { fuse: undefined } });
});

test.each([{ input: 3 }, { input: [3] }])('of %j, which is not a table, nothing is known', (parsed) => {
  const { input } = readWhatIsRight(toDocument(parsed));
  expect(input).toStrictEqual([
    { port: undefined, virtual: undefined, channels: undefined, 'bend-range': undefined },
  ]);
});
