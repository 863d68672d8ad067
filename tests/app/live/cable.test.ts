import { expect, test } from 'vitest';
import { Cable, LinkSink } from '../../../src/app/live/cable.js';
import { FakeMachine } from '../../support/fake-ports.js';
import { messages } from '../../support/midi-bytes.js';

function setUp() {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const sink = new LinkSink();
  sink.link = machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 });
  return { synth, sink };
}

test('a sink sends messages of two and three bytes and SysEx, and counts them', () => {
  const { synth, sink } = setUp();
  sink.channel(0x93, 60, 64);
  sink.channel(0xc3, 5, 0);
  sink.channel(0xd3, 6, 0);
  sink.system(Uint8Array.of(0xf0, 1, 0xf7));
  expect(synth.messages).toEqual(messages('0x93 60 64, 0xc3 5, 0xd3 6, 0xf0 1 0xf7'));
  expect([sink.sentMessages, sink.sentBytes]).toEqual([4, 10]);
});

test('a sink counts messages that no port receives', () => {
  const sink = new LinkSink();
  sink.channel(0x90, 60, 64);
  expect([sink.unheardMessages, sink.sentMessages, sink.error]).toEqual([1, 0, undefined]);
});

test('a sink sends nothing after a refusal until the error is cleared', () => {
  const { synth, sink } = setUp();
  synth.refuses = (n) => n === 2;
  for (const key of [60, 61, 62]) sink.channel(0x90, key, 64);
  expect(sink.error).toMatchObject({ code: 'PORT_SEND' });
  expect([synth.sends, sink.refusedMessages]).toEqual([2, 2]);
  sink.clear();
  sink.channel(0x90, 63, 64);
  expect(synth.messages).toEqual(messages('0x90 60 64, 0x90 63 64'));
});

test.each([
  ['a SysEx beyond the limit', new Uint8Array(70_000).fill(1).fill(0xf0, 0, 1).fill(0xf7, 69_999)],
  ['real time that is undefined', Uint8Array.of(0xfd)],
])('%s is counted as refused, and the next message is sent', (_, bytes) => {
  const { synth, sink } = setUp();
  sink.system(bytes);
  sink.channel(0x90, 60, 64);
  expect(synth.messages).toEqual([[0x90, 60, 64]]);
  expect([sink.refusedMessages, sink.error]).toEqual([1, undefined]);
});

test('a cable sets up all its outlets, after it has silenced what an earlier run may have passed', () => {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const cable = new Cable('fast');
  const log: string[] = [];
  for (const [name, used] of [
    ['low', 0],
    ['high', 15],
  ] as const)
    cable.outlets.push({
      silenceAndOpen: () => log.push(`${name} opens after ${synth.messages.length}`),
      drain: (atMs) => log.push(`${name} drains at ${atMs}`),
      reset: () => log.push(`${name} resets`),
      bends: (channel) => channel === used,
      uses: (channel) => channel === used,
    });
  cable.mayPass(0);
  cable.mayPass(9);
  cable.connect(machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 }));
  // Channel 10 alone: three pedals, All Notes Off, All Sound Off.
  expect(synth.messages.map(([status, data1]) => [status, data1])).toEqual(
    [64, 66, 69, 123, 120].map((controller) => [0xb9, controller]),
  );
  expect([cable.bends(0), cable.bends(15), cable.bends(9)]).toEqual([true, true, false]);
  cable.reset(5);
  cable.disconnect(7);
  expect(log).toEqual([
    'low opens after 5',
    'high opens after 5',
    'low resets',
    'high resets',
    'low drains at 7',
    'high drains at 7',
  ]);
});
