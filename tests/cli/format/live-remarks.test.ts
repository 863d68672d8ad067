import { describe, expect, test } from 'vitest';
import { DEFAULT_INPUT, DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET } from '../../../src/app/live/live-settings.js';
import { DEFAULT_SPLIT, type SplitConfig } from '../../../src/app/live/split-settings.js';
import { toLiveRemarks } from '../../../src/cli/format/live-remarks.js';

describe('remarks on live settings', () => {
  const on = { kind: 'controller', channel: undefined, input: undefined } as const;
  const rule = { action: 'panic', strategy: undefined } as const;

  test.each([
    [{}, []],
    [
      { inputs: [{ ...DEFAULT_INPUT, port: 'A' }], outlets: [{ ...DEFAULT_OUTLET, from: ['B'] }] },
      ['no outlet plays what comes from "A"'],
    ],
    [{ inputs: [{ ...DEFAULT_INPUT, channels: [] }], outlets: [{ ...DEFAULT_OUTLET, from: ['B'] }] }, []],
    [
      { outlets: [{ ...DEFAULT_OUTLET, kind: 'multichannel' as const, channels: [9] }] },
      ['"Leeway" plays on channel 10, which is percussion on General MIDI synths'],
    ],
    [
      { actions: [{ ...rule, on: { ...on, number: 64 } }] },
      ['controller 64 is the sustain pedal, which holds no notes while it asks for an action'],
    ],
    [{ actions: [{ ...rule, on: { ...on, kind: 'note' as const, number: 64 } }] }, []],
  ])('%j', (changes, remarks) => {
    expect(toLiveRemarks({ ...DEFAULT_LIVE_SETTINGS, ...changes })).toEqual(remarks);
  });
});

test('two inputs that play one MPE zone are remarked on, and not where each has its own channels or outlet', () => {
  const inputs = ['A', 'B'].map((port) => ({ ...DEFAULT_INPUT, port }));
  const remarksOf = (outlets: (typeof DEFAULT_OUTLET)[]) =>
    toLiveRemarks({ ...DEFAULT_LIVE_SETTINGS, inputs, outlets });
  expect(remarksOf([DEFAULT_OUTLET])).toEqual([
    '"A" and "B" play one MPE zone of "Leeway", so they share its program, volume and pedal; two zones or kind = "multichannel" keep them apart',
  ]);
  expect(remarksOf([{ ...DEFAULT_OUTLET, kind: 'multichannel' }])).toEqual([]);
  expect(remarksOf(['A', 'B'].map((name) => ({ ...DEFAULT_OUTLET, port: name, from: [name] })))).toEqual([]);
});

test('a fixed or untuned input whose outlet bends its channels is remarked on', () => {
  const [keys, organ] = ['Keys', 'Organ'].map((port) => ({ ...DEFAULT_INPUT, port }));
  const remarks = toLiveRemarks({ ...DEFAULT_LIVE_SETTINGS, inputs: [keys, { ...organ, role: 'fixed' }] });
  expect(remarks).toEqual([
    'notes of "Organ" pass unchanged to "Leeway", which bends their channels; give "Organ" another outlet, and name the inputs of each outlet with from',
  ]);
});

describe('remarks on splits', () => {
  const input = { ...DEFAULT_INPUT, port: 'Keys' };
  const split = { ...DEFAULT_SPLIT, input: 'Keys' };
  const low = { ...split, name: 'Low', highest: 59 };
  const high = { ...split, name: 'High', lowest: 60 };
  const remarksOf = (splits: readonly SplitConfig[], outlets = [DEFAULT_OUTLET]) =>
    toLiveRemarks({ ...DEFAULT_LIVE_SETTINGS, inputs: [input], splits, outlets });

  test('there is none where one keyboard plays one zone with all its keys', () => {
    expect(remarksOf([low, high])).toEqual([]);
  });

  test('keys of a piano that are in no split are named', () => {
    expect(remarksOf([{ ...low, highest: 54 }, high])).toEqual([
      'G3 to B3 of "Keys" are in no split, and are silent',
    ]);
    expect(remarksOf([{ ...low, lowest: 30, highest: 54 }, high])).toEqual([
      'some keys of "Keys" are in no split, and are silent',
    ]);
  });

  test('a split without controllers is named where its zone has them all the same', () => {
    expect(remarksOf([{ ...low, controllers: false }, high])).toEqual([
      '"Low" and "High" play one MPE zone of "Leeway", so they share its program, volume and pedal; two zones or kind = "multichannel" keep them apart',
    ]);
  });

  test('a split that no outlet plays is named', () => {
    expect(remarksOf([low, high], [{ ...DEFAULT_OUTLET, from: ['Low'] }])).toEqual([
      'no outlet plays what comes from "High"',
    ]);
  });
});
