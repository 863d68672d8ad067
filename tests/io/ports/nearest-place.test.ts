import { expect, test } from 'vitest';
import { toPlaces } from '../../../src/io/ports/match-port.js';
import { lookUpPort, nearestPort } from '../../../src/io/ports/nearest-place.js';

const DESK = toPlaces(['Stage Piano:Stage Piano MIDI 1', 'Pads', 'Synth', 'Synth', 'Midi Through:Port-0']);

test.each([
  ['Stage Pinao', 'Stage Piano'],
  ['stagepiano', 'Stage Piano'],
  ['Piabo', 'Piano'],
  ['Stage Piano:Stage Piano MIDI 2', 'Stage Piano:Stage Piano MIDI 1'],
  ['Pasd', 'Pads'],
  ['Padz', 'Pads'],
  ['Synht #2', 'Synth #2'],
  ['Synht', undefined],
  ['Synth #3', 'Synth #2'],
  ['Organ', undefined],
  ['', undefined],
])('of the ports of a desk, the name %j is near to %j', (wanted, nearest) =>
  expect(nearestPort(wanted, DESK)).toBe(nearest),
);

test('a port that is looked up in vain comes with the nearest name, and with the list', () => {
  const [piano] = DESK;
  expect(lookUpPort('stage piano', DESK)).toEqual({ ok: true, value: piano });
  expect(lookUpPort('Padz', DESK.slice(0, 2))).toMatchObject({
    problem: {
      code: 'PORT_MISSING',
      advice: 'Did you mean "Pads"? There are: "Stage Piano:Stage Piano MIDI 1", "Pads".',
    },
  });
  expect(lookUpPort('Organ', DESK.slice(1, 2))).toMatchObject({ problem: { advice: 'There are: "Pads".' } });
  expect(lookUpPort('Synth', DESK)).toMatchObject({ problem: { code: 'PORT_AMBIGUOUS' } });
});
