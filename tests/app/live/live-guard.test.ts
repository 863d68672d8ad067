import { describe, expect, test } from 'vitest';
import { ForwardTime } from '../../../src/app/live/live-guard.js';
import { LiveParts } from '../../support/live-parts.js';

describe('a fault', () => {
  test('is caught, counted and reported, and everything is silenced', () => {
    const parts = new LiveParts();
    parts.strike(60, 64);
    const fault = new RangeError('a hole in the floor');
    parts.guard.run(() => {
      throw fault;
    });
    expect(parts.guard.counters).toEqual({ drains: 0, faults: 1, mends: 0 });
    expect(parts.told).toEqual([{ kind: 'fault', error: fault }]);
    expect(parts.model().voices).toEqual([]);
    expect(parts.line.tuner.notes).toEqual([]);
    parts.strike(62);
    expect(parts.model().voices).toHaveLength(1);
  });

  test('is counted too when it happens while silencing', () => {
    const parts = new LiveParts();
    parts.outlet.drain = () => {
      throw new RangeError('another one');
    };
    parts.guard.run(() => {
      throw new RangeError('a hole in the floor');
    });
    expect(parts.guard.counters.faults).toBe(2);
  });

  test('is not reported when nothing is thrown', () => {
    const parts = new LiveParts();
    parts.guard.run(() => parts.strike(60));
    expect(parts.guard.counters).toEqual({ drains: 0, faults: 0, mends: 0 });
    expect(parts.told).toEqual([]);
  });
});

test('a drain ends what sounds, reports its reason, and is counted', () => {
  const parts = new LiveParts();
  parts.strike(60, 64, 67);
  expect(parts.model().voices).toHaveLength(3);
  parts.guard.drainAll('panic');
  expect(parts.model().voices).toEqual([]);
  expect(parts.model().noteOffs).toBe(3);
  expect(parts.told).toEqual([{ kind: 'drained', cause: 'panic' }]);
  expect(parts.guard.counters.drains).toBe(1);
});

test('a message a port refused has its outlet silenced and set up again, once the burst is over', () => {
  const parts = new LiveParts();
  parts.strike(60);
  const next = parts.synth.sends + 1;
  parts.synth.refuses = (n) => n === next;
  parts.strike(64, 67);
  expect(parts.outlet.sink.error?.code).toBe('PORT_SEND');
  parts.guard.settle();
  expect(parts.outlet.sink.error).toBeUndefined();
  expect(parts.told).toMatchObject([{ kind: 'mended', error: { code: 'PORT_SEND' } }]);
  expect(parts.guard.counters.mends).toBe(1);
  expect(parts.model().voices).toEqual([]);
  expect(parts.givenUp).toEqual([]);
  parts.guard.settle();
  expect(parts.guard.counters.mends).toBe(1);
});

test('a message a port refused has its port given up when every later message is refused too', () => {
  const parts = new LiveParts();
  parts.strike(60);
  parts.synth.refuses = () => true;
  parts.strike(64);
  parts.guard.settle();
  expect(parts.givenUp).toEqual([parts.outlet]);
  expect(parts.told).toEqual([]);
  expect(parts.guard.counters.mends).toBe(1);
});

test("the session's time does not go back when the clock does", () => {
  const readings = [5, 3, 4.5, 6.25];
  const time = new ForwardTime(() => readings.shift() ?? 0);
  expect(time.latestMs).toBe(0);
  expect([time.now(), time.now(), time.now(), time.now()]).toEqual([5, 5, 5, 6.25]);
  expect(time.latestMs).toBe(6.25);
});
