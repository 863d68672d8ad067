import { describe, expect, test } from 'vitest';
import type { PortList, WantedPort } from '../../../src/io/ports/index.js';
import { toPlaces } from '../../../src/io/ports/match-port.js';
import { type Holder, seekPlace } from '../../../src/io/ports/seek-place.js';

const list: PortList = {
  inputs: toPlaces(['Stage Piano', 'Pad', 'Pad', 'Midi Through:Midi Through Port-0']),
  outputs: toPlaces(['Synth', 'Synth', 'Midi Through:Midi Through Port-0']),
};
const input = (name: string): WantedPort => ({ direction: 'input', name, own: false });
const output = (name: string): WantedPort => ({ direction: 'output', name, own: false });
const held = (port: WantedPort, name: string, occurrence = 1): Holder => ({
  port,
  place: { name, occurrence },
});

function seek(port: WantedPort, ...holders: Holder[]): string {
  const sought = seekPlace(port, list, [{ port, place: undefined }, ...holders]);
  return sought.kind === 'here'
    ? `${sought.place.name} #${sought.place.occurrence}`
    : `${sought.kind} ${sought.reason.code}`;
}

test.each([
  ['by its name', seek(input('Stage Piano')), 'Stage Piano #1'],
  ['by a part of it', seek(input('piano')), 'Stage Piano #1'],
  ['by its number', seek(output('Synth #2')), 'Synth #2'],
  ['nowhere', seek(input('Organ')), 'away PORT_MISSING'],
  ['only in the other direction', seek(output('Stage Piano')), 'away PORT_MISSING'],
  ['in two places', seek(input('Pad')), 'away PORT_AMBIGUOUS'],
  ['at a number that isn’t there', seek(input('Pad #3')), 'away PORT_MISSING'],
])('a wanted port is found: %s', (_how, found, wanted) => expect(found).toBe(wanted));

describe('a wanted port is found beside ports in use:', () => {
  const [first, second] = [output('Synth #1'), output('Synth #2')];
  const own = (direction: WantedPort['direction'], name: string): Holder => ({
    port: { direction, name, own: true },
    place: undefined,
  });
  const through = held(input('Through'), 'Midi Through:Midi Through Port-0');

  test.each([
    // The second was open when the first went and came back: it has the number of the first now.
    ['a number that moved: the free place', seek(first, held(second, 'Synth', 1)), 'Synth #2'],
    [
      'both of a number taken: it is away',
      seek(first, held(second, 'Synth', 1), held(output('synth'), 'Synth', 2)),
      'away PORT_MISSING',
    ],
    ['another place', seek(first, held(output('x'), 'Pad', 1)), 'Synth #1'],
    ['under another name', seek(input('piano'), held(input('Stage'), 'Stage Piano')), 'refused PORT_TWICE'],
    ['the other way', seek(input('piano'), held(output('Stage'), 'Stage Piano')), 'Stage Piano #1'],
    ['pass-through, both ways', seek(output('Through'), through), 'refused PORT_CYCLE'],
    ['pass-through, one way', seek(output('Through')), 'Midi Through:Midi Through Port-0 #1'],
    ['a virtual port, the other way', seek(output('Leeway'), own('input', 'Leeway')), 'refused PORT_CYCLE'],
    ['a virtual port’s name of another program', seek(input('Pad #1'), own('output', 'Pad')), 'Pad #1'],
  ])('%s', (_how, found, wanted) => expect(found).toBe(wanted));
});

test('a wanted port that is away comes with the name that may be meant', () =>
  expect(seekPlace(input('Stage Pinao'), list, [])).toMatchObject({
    kind: 'away',
    reason: { advice: expect.stringMatching(/^Did you mean "Stage Piano"\? There are: /) },
  }));

test('the message on a wanted port names it as it was wanted', () => {
  const away = seekPlace(input('Pad'), list, []);
  expect(away.kind === 'away' && away.reason.message).toBe('"Pad" means several MIDI inputs.');
  expect(away.kind === 'away' && away.reason.advice).toMatch(/"Pad #1", "Pad #2"/);
});
