import { expect, test } from 'vitest';
import { TUNER, toField, toReportedSettings } from '../../../src/core/settings/index.js';
import { moveHome, toHome, toReferenceCents } from '../../../src/core/theory/index.js';
import { DEFAULT_SETTINGS, toSettings } from '../../../src/core/tuner/index.js';

test('every setting is written by its name in code, in the order of the table', () => {
  const fields = (Object.keys(TUNER) as (keyof typeof TUNER)[]).map((key) => toField(TUNER, key));
  expect(Object.keys(toReportedSettings(DEFAULT_SETTINGS))).toEqual(fields);
  expect(Object.values(toReportedSettings(DEFAULT_SETTINGS))).not.toContain(undefined);
});

test('home is written by its kind, a tonic by its name, A in hertz', () => {
  const home = moveHome(toHome({ kind: 'just', tonic: { keyClass: 0, fifths: 0 } }), {
    keyClass: 10,
    fifths: -2,
  });
  const settings = toSettings({ home, referenceCents: toReferenceCents(415.3), strategy: 'pull' });
  expect(toReportedSettings(settings)).toMatchObject({
    home: 'just',
    tonic: 'B♭',
    a4Hz: 415.3,
    leewayCents: 2,
  });
});
