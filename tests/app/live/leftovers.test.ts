import { expect, test } from 'vitest';
import { LiveOutlet } from '../../../src/app/live/live-outlet.js';
import { DEFAULT_INPUT, DEFAULT_OUTLET, type OutletConfig } from '../../../src/app/live/live-settings.js';
import { FakeMachine } from '../../support/fake-ports.js';
import { Stage, stageSettings, toModel } from '../../support/stage.js';

const ENDS = [64, 66, 67, 69, 120, 123];

/** Whether a message ends notes; anything else might move their pitch. */
function ends([status, data1, data2]: readonly number[]): boolean {
  return (status & 0xf0) === 0x80 || ((status & 0xf0) === 0xb0 && ENDS.includes(data1) && data2 === 0);
}

function connect(changes: Partial<OutletConfig>) {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const outlet = new LiveOutlet({ ...DEFAULT_OUTLET, ...changes }, (part) => part & 0x0f);
  const link = machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 });
  return { synth, outlet, connect: () => outlet.cable.connect(link) };
}

const all = Array.from({ length: 16 }, (_, channel) => channel);
const allBut10 = all.filter((channel) => channel !== 9);

/** What every channel could still sound after a run was killed: a note held by key and one by pedal, both bent. */
const left = (channels: readonly number[]) =>
  channels.flatMap((channel) => [
    [0xe0 | channel, 0, 80],
    [0x90 | channel, 60, 90],
    [0xb0 | channel, 64, 127],
    [0x90 | channel, 64, 90],
    [0x80 | channel, 64, 64],
  ]);

test.each([
  ['mpe', {}, all, 153],
  ['mpe', { wire: 'din' }, all, 153],
  ['mpe', { zone: 'upper', members: 4 }, [11, 12, 13, 14, 15], 54],
  ['multichannel', {}, allBut10, 195],
  ['multichannel', { channels: [2, 5] }, [2, 5], 26],
  ['mts', {}, all, 53],
] as const)(
  'an outlet (%s, %o) silences a receiver that still sounds before it sets anything, in few messages',
  (kind, changes, channels, most) => {
    const { synth, connect: begin } = connect({ kind, ...changes });
    begin();
    const { messages } = synth;
    const first = messages.findIndex((message) => !ends(message));
    expect(toModel([...left(channels), ...messages.slice(0, first)]).voices).toEqual([]);
    for (const channel of channels) expect(messages.slice(0, first)).toContainEqual([0xb0 | channel, 120, 0]);
    expect(messages.slice(first).filter(([status, data1]) => status < 0xc0 && data1 >= 120)).toEqual([]);
    expect(messages.length).toBeLessThanOrEqual(most);
  },
);

test('an outlet that is connected again ends what sounds by note-offs as sent, before it sets anything', () => {
  const { synth, outlet, connect: begin } = connect({ kind: 'multichannel', channels: [0] });
  begin();
  outlet.outlet.start(0, 1, 0, 60, 90, 6050);
  outlet.cable.pass(0x99, 36, 80);
  const before = synth.messages.length;
  begin();
  const sent = synth.messages.slice(before);
  expect(
    sent.slice(
      0,
      sent.findIndex((message) => !ends(message)),
    ),
  ).toEqual(
    expect.arrayContaining([
      [0x80, 60, 64],
      [0x89, 36, 64],
      [0xb0, 120, 0],
      [0xb9, 120, 0],
    ]),
  );
});

test('an outlet that was connected presses a pedal before the next note only if it is down', () => {
  const { synth, outlet, connect: begin } = connect({ kind: 'mpe' });
  begin();
  outlet.outlet.control(0, 0, 0xb0, 64, 127);
  begin();
  const before = synth.messages.length;
  outlet.outlet.start(1, 1, 0, 60, 90, 6000);
  expect(synth.messages.slice(before)).toEqual([
    [0xb0, 64, 127],
    [0x91, 60, 90],
  ]);
});

test.each([
  ['a channel that passes unchanged', [0, 1], [9, 10]],
  ['an input of which nothing is tuned', [], [9, 12]],
])('a session silences %s at the start, where an earlier run may have left notes', (_, tuned, passed) => {
  const outlets = [{ ...DEFAULT_OUTLET, port: 'Synth', virtual: false, members: 8 }];
  const inputs = [{ ...DEFAULT_INPUT, port: 'Keys', virtual: false, channels: tuned }];
  const { synth } = new Stage(stageSettings({ inputs, outlets }));
  for (const channel of passed) expect(synth.messages).toContainEqual([0xb0 | channel, 120, 0]);
});

test('a session leaves channels alone that nothing of it uses, and silences channel 10, which carries drums', () => {
  const outlets = [{ ...DEFAULT_OUTLET, port: 'Synth', virtual: false, members: 8 }];
  const { synth } = new Stage(stageSettings({ outlets }));
  const channels = new Set(synth.messages.map(([status]) => status & 0x0f));
  expect([...channels].filter((channel) => channel > 8)).toEqual([9]);
});
