import { expect, test } from 'vitest';
import { toSettingsFact } from '../../../src/core/monitor/index.js';
import { LIMITS } from '../../../src/core/protocol/index.js';
import { toReferenceCents } from '../../../src/core/theory/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { homeOn } from '../../support/play.js';

const SESSION = {
  leewayCents: { pull: 2, anchored: 8 },
  bypass: false,
  stories: [],
  inputs: [],
  outputs: [],
  addresses: [],
  carries: 'nothing' as const,
};

test('settings facts are right for the default settings', () => {
  expect(toSettingsFact(toSettings({}), SESSION)).toEqual({
    strategy: 'anchored',
    leewayCents: { pull: 2, anchored: 8 },
    rateCentsPerSecond: 3,
    recallCents: 0,
    held: 'follow',
    limit: 5,
    home: 'equal',
    tonic: 'C',
    a4Hz: 440,
    strikeWindowMs: 30,
    glideMs: 60,
    bypass: false,
    stories: [],
    inputs: [],
    outputs: [],
    addresses: [],
  });
});

test('settings facts have another tonic and another A, and no leeway for free', () => {
  const settings = toSettings({
    strategy: 'free',
    home: homeOn('meantone', 'Bb'),
    referenceCents: toReferenceCents(415),
  });
  const fact = toSettingsFact(settings, SESSION);
  expect(fact).toMatchObject({ strategy: 'free', home: 'meantone', tonic: 'B♭', a4Hz: 415 });
  expect(JSON.stringify(fact)).not.toContain('null');
});

test('settings facts keep ports within their bounds', () => {
  const inputs = Array.from({ length: LIMITS.ports + 3 }, (_, i) => `${i} `.repeat(60));
  const fact = toSettingsFact(toSettings({}), { ...SESSION, inputs });
  expect(fact.inputs).toHaveLength(LIMITS.ports);
  expect(fact.inputs[0]).toHaveLength(LIMITS.name);
  expect(fact.inputs[0].endsWith('…')).toBe(true);
});

test('settings facts leave out addresses that are too long or too many, and cut none', () => {
  const addresses = Array.from({ length: LIMITS.addresses + 1 }, (_, i) => `http://192.168.1.${i}:8180/`);
  const long = `http://${'a'.repeat(LIMITS.text)}/`;
  const fact = toSettingsFact(toSettings({}), { ...SESSION, addresses: [long, ...addresses] });
  expect(fact.addresses).toEqual(addresses.slice(0, LIMITS.addresses));
});
