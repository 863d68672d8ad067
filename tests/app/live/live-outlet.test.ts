import { expect, test } from 'vitest';
import { RoutingTap } from '../../../src/app/live/live-outlet.js';
import { numbers } from '../../support/numbers.js';

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
