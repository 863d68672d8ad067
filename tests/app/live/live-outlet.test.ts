import { expect, test } from 'vitest';
import { LinkSink, RoutingTap } from '../../../src/app/live/live-outlet.js';
import { FakeMachine } from '../../support/fake-ports.js';
import { messages } from '../../support/midi-bytes.js';
import { numbers } from '../../support/numbers.js';

function setUp() {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const sink = new LinkSink();
  sink.link = machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 });
  return { synth, sink };
}

test('a live outlet sends messages of two and three bytes and SysEx, and counts them', () => {
  const { synth, sink } = setUp();
  sink.channel(0x93, 60, 64);
  sink.channel(0xc3, 5, 0);
  sink.channel(0xd3, 6, 0);
  sink.system(Uint8Array.of(0xf0, 1, 0xf7));
  expect(synth.messages).toEqual(messages('0x93 60 64, 0xc3 5, 0xd3 6, 0xf0 1 0xf7'));
  expect([sink.sentMessages, sink.sentBytes]).toEqual([4, 10]);
});

test('a live outlet counts messages that no port receives', () => {
  const sink = new LinkSink();
  sink.channel(0x90, 60, 64);
  expect([sink.unheardMessages, sink.sentMessages, sink.error]).toEqual([1, 0, undefined]);
});

test('a live outlet sends nothing after a refusal until the error is cleared', () => {
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

function open() {
  const done: string[] = [];
  const tap = new RoutingTap(
    {
      channel: (...bytes) => done.push(`sent ${bytes.join(' ')}`),
      system: (bytes) => done.push(`sent ${[...bytes].join(' ')}`),
    },
    {
      noteSent: (channel) => done.push(`on ${channel}`),
      bendSent: (channel, bend) => done.push(`bend ${channel} ${bend}`),
    },
  );
  return { done, tap };
}

test('a live outlet passes everything, and reports note-ons and bends after they were sent', () => {
  const { done, tap } = open();
  tap.channel(0xe3, 0x01, 0x40);
  tap.channel(0x93, 60, 80);
  tap.channel(0x83, 60, 64);
  tap.channel(0xb3, 64, 127);
  tap.system(Uint8Array.of(0xf8));
  // 64 · 128 + 1
  expect(done).toEqual(
    'sent 227 1 64, bend 3 8193, sent 147 60 80, on 3, sent 131 60 64, sent 179 64 127, sent 248'.split(', '),
  );
});

test('a note-on with velocity 0 is a note-off, and no note that begins', () => {
  const { done, tap } = open();
  tap.channel(0x95, 60, 0);
  expect(done).toEqual(['sent 149 60 0']);
});

test.each(numbers('0 0 0, 127 127 16383, 0 64 8192'))(
  'a bend message of %i and %i is a bend of %i',
  (data1, data2, bend) => {
    const { done, tap } = open();
    tap.channel(0xef, data1, data2);
    expect(done[1]).toBe(`bend 15 ${bend}`);
  },
);
