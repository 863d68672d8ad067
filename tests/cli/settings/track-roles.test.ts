import { describe, expect, test } from 'vitest';
import { gatherChoices } from '../../../src/cli/settings/index.js';
import { readRole, toFixedCents, toTrackRole } from '../../../src/cli/settings/track-roles.js';

describe('--role', () => {
  test.each([
    ['3=guide', { number: 2, role: 'guide' }],
    ['Organ=untuned', { name: 'Organ', role: 'untuned' }],
    [' Org* = tuned ', { name: 'Org*', role: 'tuned' }],
    ['a=b=guide', { name: 'a=b', role: 'guide' }],
    ['ch10=tuned', { channels: [9], role: 'tuned' }],
    ['Channel 2=guide', { channels: [1], role: 'guide' }],
    ['Chorus=guide', { name: 'Chorus', role: 'guide' }],
    ['*=guide', { name: '*', role: 'guide' }],
  ])('takes %s', (text, expected) => {
    expect(readRole(text)).toEqual({ ok: true, value: expected });
  });

  test('has a fixed part in 12 equal at 440 Hz', () => {
    const read = readRole('Bass=fixed');
    expect(read.ok && read.value).toMatchObject({
      name: 'Bass',
      role: 'fixed',
      fixedCents: new Array(12).fill(0),
    });
  });

  test.each([
    ['Organ', 'ROLE_TEXT'],
    ['=fixed', 'ROLE_TEXT'],
    ['Organ=', 'ROLE_TEXT'],
    ['', 'ROLE_TEXT'],
    ['Organ=fixd', 'VALUE_UNKNOWN'],
    ['Organ=Fixed', 'VALUE_UNKNOWN'],
    ['0=guide', 'VALUE_RANGE'],
    ['ch17=guide', 'VALUE_RANGE'],
    ['ch0=guide', 'VALUE_RANGE'],
    ['99999999=guide', 'VALUE_RANGE'],
    ['Or\u0007gan=guide', 'VALUE_TEXT'],
  ])('refuses "%s" with a code', (text, code) => {
    const read = readRole(text);
    expect(read.ok ? 'read' : read.problem.code).toBe(code);
  });

  test('reports every mistake, each with the option', async () => {
    const gathered = await gatherChoices({ role: ['Organ', '3=gide'] });
    expect(gathered.ok ? [] : gathered.mistakes.map(({ message, advice }) => `${message} ${advice}`)).toEqual(
      [
        '--role: expected a track and its role, found "Organ". Write a track, an equals sign and a role, such as Organ=fixed, 3=guide or ch10=tuned.',
        '--role: expected tuned, fixed, guide or untuned, found "gide". Did you mean guide?',
      ],
    );
  });

  test('comes before the tables of a settings file', async () => {
    const gathered = await gatherChoices({ role: ['1=guide'], settings: 'tests/support/roles.toml' });
    expect(gathered.ok && gathered.roles.map(({ number, name, role }) => [number ?? name, role])).toEqual([
      [0, 'guide'],
      ['Organ*', 'fixed'],
      [undefined, 'tuned'],
    ]);
  });
});

test('a fixed part has its own scale, tonic and A', () => {
  expect(toFixedCents({ a4: 415 })[0]).toBeCloseTo(1200 * Math.log2(415 / 440), 3);
  const meantone = toFixedCents({ scale: { kind: 'meantone' }, tonic: { keyClass: 2, fifths: 2 } });
  // Its fifth above D is narrow by a quarter of a comma.
  expect(meantone[9] - meantone[2]).toBeCloseTo(1.955 - 21.506 / 4, 2);
  expect(toTrackRole({ name: 'Organ', role: 'fixed', a4: 415 }).fixedCents?.[5]).toBeCloseTo(-101.27, 2);
  expect(toTrackRole({ number: 4 })).toEqual({ number: 4, role: 'tuned' });
});
