import { describe, expect, test } from 'vitest';
import { findConflicts } from '../../../src/cli/settings/conflicts.js';
import type { Settings } from '../../../src/cli/settings/read-document.js';
import { toKnobEnds, toPresetName } from '../../../src/cli/settings/surface-conflicts.js';

function toConflicts(settings: Settings): string[] {
  return findConflicts(settings).map(({ keys, part, code }) => `${keys.join('.')} ${part} ${code}`);
}

type Knob = NonNullable<Settings['knob']>[number];
type Lamp = NonNullable<Settings['lamp']>[number];
type Action = NonNullable<Settings['action']>[number];

describe('conflicts of knobs:', () => {
  const whole: Knob = { controller: 1, sets: 'leeway' };
  test.each<[string, Knob[], string[]]>([
    ['whole', [whole], []],
    ['turned the other way', [{ ...whole, least: 25, most: 0 }], []],
    ['nothing turns it', [{ sets: 'a4' }], ['knob.0 key SETTINGS_MISSING']],
    ['sets nothing', [{ controller: 1 }], ['knob.0 key SETTINGS_MISSING']],
    ['empty', [{}], ['knob.0 key SETTINGS_MISSING', 'knob.0 key SETTINGS_MISSING']],
    ['too much leeway', [{ ...whole, most: 601 }], ['knob.0.most value VALUE_RANGE']],
    ['too slow a rate', [{ controller: 1, sets: 'rate', least: 0 }], ['knob.0.least value VALUE_RANGE']],
    ['an A in cents', [{ controller: 1, sets: 'a4', least: -20 }], ['knob.0.least value VALUE_RANGE']],
    ['no travel', [{ ...whole, least: 3, most: 3 }], ['knob.0.most value SETTINGS_CONFLICT']],
    ['no travel beside a default', [{ ...whole, least: 25 }], ['knob.0.least value SETTINGS_CONFLICT']],
    ['an input that is not there', [{ ...whole, input: 'A' }], ['knob.0.input value SETTINGS_NO_INPUT']],
    [
      'two of one controller',
      [whole, { ...whole, sets: 'recall' }],
      ['knob.1.controller key SETTINGS_CONFLICT'],
    ],
    [
      'two of one controller on two channels',
      [
        { ...whole, channel: 1 },
        { ...whole, channel: 2 },
      ],
      [],
    ],
    ['unreadable', [{ controller: undefined, sets: undefined, least: 900 }], []],
  ])('%s', (_, knob, conflicts) => expect(toConflicts({ knob })).toEqual(conflicts));

  test.each<[Partial<Action>, Partial<Knob>, boolean]>([
    [{}, {}, true],
    [{ controller: 2 }, {}, false],
    [{ channel: 3 }, {}, true],
    [{ channel: 3 }, { channel: 4 }, false],
    [{ input: 'A' }, { input: 'B' }, false],
    [{ input: 'A' }, { channel: 4 }, true],
  ])('an action %j and a knob %j of one controller clash: %s', (one, other, clash) => {
    const settings: Settings = {
      input: [{ port: 'A' }, { port: 'B' }],
      action: [{ controller: 1, do: 'panic', ...one }],
      knob: [{ ...whole, ...other }],
    };
    expect(toConflicts(settings)).toEqual(clash ? ['knob.0.controller key SETTINGS_CONFLICT'] : []);
  });

  test('the ends of a knob are those given, and else the default ones of its setting', () => {
    expect([toKnobEnds('a4', {}), toKnobEnds('rate', { most: 9 })]).toEqual([
      { least: 430, most: 450 },
      { least: 0.5, most: 9 },
    ]);
  });
});

describe('conflicts of presets:', () => {
  const load = (preset: string, note: number): Action => ({ note, do: 'preset', preset });
  test.each<[string, Action[], string[]]>([
    ['whole', [load('a.toml', 1)], []],
    ['no preset', [{ note: 1, do: 'preset' }], ['action.0.do key SETTINGS_MISSING']],
    [
      'a preset for another action',
      [{ note: 1, do: 'panic', preset: 'a.toml' }],
      ['action.0.preset key SETTINGS_CONFLICT'],
    ],
    ['one file twice', [load('sets/a.toml', 1), load('./sets/a.toml', 2)], []],
    [
      'two files of one name',
      [load('a.toml', 1), load('sets/a.toml', 2)],
      ['action.1.preset value SETTINGS_CONFLICT'],
    ],
  ])('%s', (_, action, conflicts) => expect(toConflicts({ action })).toEqual(conflicts));

  test.each([
    ['slow-hymns.toml', 'slow-hymns'],
    ['sets/v1.2.toml', 'v1.2'],
    ['sets/plain', 'plain'],
  ])('%s is called %s', (path, name) => expect(toPresetName(path)).toBe(name));
});

describe('conflicts of lamps:', () => {
  const whole: Lamp = { port: 'B', controller: 20, shows: 'bypass' };
  const meter: Lamp = { port: 'B', controller: 21, shows: 'drift' };
  test.each<[string, Lamp[], string[]]>([
    ['whole', [whole, meter], []],
    ['empty', [{}], Array(3).fill('lamp.0 key SETTINGS_MISSING')],
    ['two addresses', [{ ...whole, note: 1 }], ['lamp.0.note key SETTINGS_CONFLICT']],
    ['a meter on a key', [{ port: 'B', note: 1, shows: 'from-home' }], ['lamp.0.note key SETTINGS_CONFLICT']],
    ['with its state', [{ ...whole, shows: 'strategy', is: 'pull' }], []],
    ['with its limit', [{ ...whole, shows: 'limit', is: '7' }], []],
    ['with its tonic', [{ ...whole, shows: 'tonic', is: 'Bb' }], []],
    ['no state', [{ ...whole, shows: 'strategy' }], ['lamp.0 key SETTINGS_MISSING']],
    ['no such strategy', [{ ...whole, shows: 'strategy', is: 'pul' }], ['lamp.0.is value VALUE_UNKNOWN']],
    ['no such limit', [{ ...whole, shows: 'limit', is: '9' }], ['lamp.0.is value VALUE_UNKNOWN']],
    ['no such tonic', [{ ...whole, shows: 'tonic', is: 'H' }], ['lamp.0.is value TONIC_NAME']],
    ['a state too many', [{ ...whole, is: 'on' }], ['lamp.0.is key SETTINGS_CONFLICT']],
    ['a range of a light', [{ ...whole, least: -5 }], ['lamp.0.least key SETTINGS_CONFLICT']],
    ['a light of a meter', [{ ...meter, on: 5 }], ['lamp.0.on key SETTINGS_CONFLICT']],
    ['no such preset', [{ ...whole, shows: 'preset', is: 'slow' }], ['lamp.0.is value SETTINGS_CONFLICT']],
    ['one address twice', [whole, { ...whole, channel: 0 }], ['lamp.1.controller key SETTINGS_CONFLICT']],
    ['one number on two channels', [whole, { ...whole, channel: 1 }], []],
    ['one port in two ways', [whole, { ...meter, virtual: true }], ['lamp.1.port value SETTINGS_CONFLICT']],
    ['unreadable', [{ port: undefined, note: undefined, shows: undefined, is: undefined }], []],
  ])('%s', (_, lamp, conflicts) => expect(toConflicts({ lamp })).toEqual(conflicts));

  test.each<[string, Settings, string[]]>([
    ['the port of a controller that is an input', { input: [{ port: 'B' }], lamp: [whole] }, []],
    [
      'the port of an outlet',
      { outlet: [{ port: 'B' }], lamp: [whole] },
      ['lamp.0.port value SETTINGS_CONFLICT'],
    ],
    [
      'our own input as a foreign output',
      { input: [{ port: 'B', virtual: true }], lamp: [whole] },
      ['lamp.0.port value SETTINGS_CONFLICT'],
    ],
    [
      'a port of ours that is a foreign input',
      { input: [{ port: 'B' }], lamp: [{ ...whole, virtual: true }] },
      ['lamp.0.port value SETTINGS_CONFLICT'],
    ],
    [
      'a preset that is there',
      {
        action: [{ note: 1, do: 'preset', preset: 'a/slow.toml' }],
        lamp: [{ ...whole, shows: 'preset', is: 'slow' }],
      },
      [],
    ],
  ])('%s', (_, settings, conflicts) => expect(toConflicts(settings)).toEqual(conflicts));
});
