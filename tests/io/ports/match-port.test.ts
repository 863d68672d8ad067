import fc from 'fast-check';
import { expect, test } from 'vitest';
import { formatPlace, matchPort } from '../../../src/io/ports/index.js';
import { isLinkEnd, toPlaceName, toPlaces } from '../../../src/io/ports/match-port.js';
import { amongAll, forAll } from '../../support/properties.js';

const THERE = toPlaces([
  'Midi Through:Midi Through Port-0',
  'Stage Piano:Stage Piano MIDI 1',
  'Synth',
  'Synth',
  'Synth #9',
  'synth pad',
  'Port 1',
  'Port 10',
  'Box:Port 21',
  'RtMidi Output Client:Leeway',
]);

test.each([
  ['Synth #9', 'Synth #9', 1], // a whole name, though it looks like a number among equals
  ['Synth #2', 'Synth', 2],
  ['synth#2', 'Synth', 2],
  ['Synth #1', 'Synth', 1],
  ['SYNTH PAD', 'synth pad', 1],
  ['Port 1', 'Port 1', 1],
  ['port 10', 'Port 10', 1],
  ['ort 1', 'Port 1', 1],
  ['Stage Piano', 'Stage Piano:Stage Piano MIDI 1', 1],
  ['stage piano midi 1', 'Stage Piano:Stage Piano MIDI 1', 1],
  ['leeway', 'RtMidi Output Client:Leeway', 1],
  [' piano ', 'Stage Piano:Stage Piano MIDI 1', 1],
  ['piano #1', 'Stage Piano:Stage Piano MIDI 1', 1],
  ['Port 21', 'Box:Port 21', 1],
])('the port name %s means %s, number %i', (wanted, name, occurrence) => {
  expect(matchPort(wanted, THERE)).toEqual({ ok: true, value: { name, occurrence } });
});

test.each([['Synth #3'], ['Port 2'], ['ort 0'], ['Port 100'], ['Organ'], [''], ['  '], ['#1'], ['Piano #2']])(
  'the port name %j means none of the ports',
  (wanted) => {
    const outcome = matchPort(wanted, THERE);
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'PORT_MISSING' } });
  },
);

test('a missing port is reported with the existing ones', () => {
  expect(matchPort('Organ', toPlaces(['Synth', 'Synth']))).toMatchObject({
    problem: { message: 'there is no MIDI port "Organ"', advice: 'There are: "Synth", "Synth #2".' },
  });
  expect(matchPort('Organ', [])).toMatchObject({ problem: { advice: 'None is there at all.' } });
});

test.each([
  ['Synth', 'Choose one of "Synth #1", "Synth #2".'],
  ['port', 'Choose one of "Midi Through:Midi Through Port-0", "Port 1", "Port 10", "Box:Port 21".'],
])('the port name %s means several ports, and they are listed', (wanted, advice) => {
  expect(matchPort(wanted, THERE)).toMatchObject({
    ok: false,
    problem: { code: 'PORT_AMBIGUOUS', message: `"${wanted}" means several MIDI ports`, advice },
  });
});

test('every listed choice means just one of the ports', () => {
  const names = fc.array(fc.constantFrom('A', 'a', 'A 1', 'A 10', 'B:A', 'a b'), { maxLength: 8 });
  let told = 0;
  forAll([names, fc.constantFrom('A', 'a', 'b', '1', 'A 1')], 2000, (list, wanted) => {
    const places = toPlaces(list);
    const outcome = matchPort(wanted, places);
    if (outcome.ok || outcome.problem.code !== 'PORT_AMBIGUOUS') return;
    const choices = [...outcome.problem.advice.matchAll(/"([^"]*)"/g)].map(([, choice]) => choice);
    const chosen = choices.map((choice) => matchPort(choice, places));
    for (const one of chosen) expect(one).toMatchObject({ ok: true });
    expect(new Set(chosen.map((one) => JSON.stringify(one))).size).toBe(choices.length);
    told += choices.length;
  });
  expect(told).toBeGreaterThan(amongAll(100));
});

test('the shown name of a port leads back to it, where no other has that name', () => {
  for (const place of THERE.filter(({ name }) => name !== 'Synth')) {
    expect(matchPort(formatPlace(place), THERE)).toEqual({ ok: true, value: place });
  }
});

test.each([
  ['Test Keys:Test Keys MIDI 1 24:0', 'linux', 'Test Keys:Test Keys MIDI 1'],
  ['Midi Through:Midi Through Port-0 14:0', 'linux', 'Midi Through:Midi Through Port-0'],
  ['Odd 1:2 128:15', 'linux', 'Odd 1:2'],
  ['Odd 1:2', 'darwin', 'Odd 1:2'],
  ['Keys 10', 'win32', 'Keys 10'],
] as const)('the port name %s on %s is %s', (fullName, platform, name) => {
  expect(toPlaceName(fullName, platform)).toBe(name);
});

test('equal port names are counted in their order', () => {
  expect(toPlaces(['A', 'B', 'A', 'A'])).toEqual([
    { name: 'A', occurrence: 1 },
    { name: 'B', occurrence: 1 },
    { name: 'A', occurrence: 2 },
    { name: 'A', occurrence: 3 },
  ]);
});

test('the ends of open links are recognised on the system that lists them', () => {
  expect(isLinkEnd('RtMidi Input Client:RtMidi Input', 'linux')).toBe(true);
  expect(isLinkEnd('RtMidi Output Client:Leeway', 'linux')).toBe(false);
  expect(isLinkEnd('RtMidi Input Client:RtMidi Input', 'darwin')).toBe(false);
});
