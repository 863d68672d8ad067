import { describe, expect, test } from 'vitest';
import { InputSplit } from '../../../src/app/live/input-split.js';
import { InputZones } from '../../../src/app/live/input-zones.js';
import { Knobs } from '../../../src/app/live/knobs.js';
import { LiveInput } from '../../../src/app/live/live-input.js';
import {
  type ActionRule,
  DEFAULT_INPUT,
  DEFAULT_LIVE_SETTINGS,
} from '../../../src/app/live/live-settings.js';
import { toSplits } from '../../../src/app/live/split-settings.js';
import { LiveParts } from '../../support/live-parts.js';

/** An input on channels 1 to 9 whose left pedal asks for home. */
function createInput(changes: { fuse?: number; systemMessages?: boolean } = {}) {
  const parts = new LiveParts();
  const log: string[] = [];
  const rules: ActionRule[] = [
    {
      on: { kind: 'controller', number: 67, channel: undefined, input: undefined },
      action: 'home-next',
      strategy: undefined,
    },
  ];
  const settings = { ...DEFAULT_LIVE_SETTINGS, ...changes };
  const config = { ...DEFAULT_INPUT, port: 'Keys', channels: [0, 1, 2, 3, 4, 5, 6, 7, 8] };
  const all = [parts.outlet];
  const route = {
    outlets: all,
    untuned: [parts.outlet.cable],
    outletsOn: () => all,
    playersOf: () => [],
  };
  const splits = toSplits([], config).map((split, i) => new InputSplit(split, i, 2, route, parts.line));
  const zones = new InputZones('auto');
  const input = new LiveInput(config, { splits, zones, all }, rules, settings.fuse, {
    now: () => parts.time.now(),
    listener: {
      channel: (atMs, port, ...bytes) => log.push(`${atMs} ${port} ${bytes.join(' ')}`),
      system: (atMs, port, bytes) => log.push(`${atMs} ${port} system ${bytes.join(' ')}`),
    },
    passesSystem: () => settings.systemMessages,
    act: ({ action }) => log.push(action),
    knobs: new Knobs([]),
    zoned: ({ zones }) => log.push(`zones of ${zones.members.join(' and ')}`),
    closed: ({ config: { port } }, { kind }) => {
      log.push(`${port} closed by ${kind}`);
      parts.guard.drainAll('fuse');
    },
  });
  parts.received = () => log.push('received');
  const feed = (...bytes: number[]) => parts.guard.receive(input, Uint8Array.from(bytes));
  return { parts, input, log, feed };
}

describe('a message of an input', () => {
  test('that is tuned goes to the line, and is reported before and after', () => {
    const { parts, input, log, feed } = createInput();
    feed(0x90, 60, 80);
    feed(0xb0, 64, 127);
    feed(0x80, 60, 0);
    expect(log).toEqual([
      '1000 Keys 144 60 80',
      'received',
      '1000 Keys 176 64 127',
      'received',
      '1000 Keys 128 60 0',
      'received',
    ]);
    expect(parts.line.tuner.notes).toHaveLength(1);
    expect(parts.model().voices).toHaveLength(1);
    expect(input.messages).toBe(3);
    expect(parts.guard.latency.quantiles().count).toBe(3);
  });

  test('of a channel that isn’t tuned passes as it came', () => {
    const { parts, feed } = createInput();
    feed(0x99, 36, 100);
    expect(parts.synth.messages.at(-1)).toEqual([0x99, 36, 100]);
    expect(parts.line.tuner.notes).toEqual([]);
  });

  test('that asks for an action is not passed on, and is reported all the same', () => {
    const { parts, log, feed } = createInput();
    const before = parts.synth.messages.length;
    feed(0xb0, 67, 127, 0xb0, 67, 0);
    expect(log).toEqual(['1000 Keys 176 67 127', 'home-next', '1000 Keys 176 67 0', 'received']);
    expect(parts.synth.messages).toHaveLength(before);
  });

  test('of the system passes unless the settings forbid it', () => {
    const open = createInput();
    open.feed(0xf8);
    expect(open.parts.synth.messages.at(-1)).toEqual([0xf8]);
    const closed = createInput({ systemMessages: false });
    const before = closed.parts.synth.messages.length;
    closed.feed(0xf8);
    expect(closed.parts.synth.messages).toHaveLength(before);
    expect(closed.log).toEqual(['1000 Keys system 248', 'received']);
  });

  test('that arrives while another is being sent waits for its end', () => {
    const { parts, log, feed } = createInput();
    const receive = parts.synth.receive.bind(parts.synth);
    let isEchoed = false;
    parts.synth.receive = (bytes) => {
      receive(bytes);
      if (isEchoed || (bytes[0] & 0xf0) !== 0x90) return;
      isEchoed = true;
      feed(0x91, 67, 80);
      log.push('sent');
    };
    feed(0x90, 60, 80);
    expect(log).toEqual(['1000 Keys 144 60 80', 'sent', 'received', '1000 Keys 145 67 80', 'received']);
    expect(parts.model().voices).toHaveLength(2);
  });
});

test('too many messages close the input: it is reported once, all is silenced, and nothing passes until it is opened again', () => {
  const { parts, input, log, feed } = createInput({ fuse: 10 });
  feed(0x90, 60, 80);
  for (let i = 0; i < 50; i++) feed(0xb0, 1, i);
  expect(log.filter((line) => line.includes('closed'))).toEqual(['Keys closed by rate']);
  expect(parts.told).toEqual([{ kind: 'drained', cause: 'fuse' }]);
  expect(parts.model().voices).toEqual([]);
  expect(input.isClosed).toBe(true);
  expect(input.messages).toBe(51);
  feed(0x90, 62, 80);
  expect(parts.model().voices).toEqual([]);
  expect([input.reopen(parts.nowMs), input.reopen(parts.nowMs)]).toEqual([true, false]);
  expect(input.isClosed).toBe(false);
  parts.nowMs += 10_000;
  feed(0x90, 64, 80);
  expect(parts.model().voices).toHaveLength(1);
});

test('an error while a message is worked off goes to the guard, and the next message passes', () => {
  const { parts, log, feed } = createInput();
  const { message } = parts.line;
  parts.line.message = () => {
    throw new RangeError('a hole in the floor');
  };
  feed(0xb0, 1, 1);
  expect(parts.guard.counters.faults).toBe(1);
  parts.line.message = message;
  feed(0x90, 60, 80);
  expect(log.filter((line) => line === 'received')).toHaveLength(2);
  expect(parts.model().voices).toHaveLength(1);
});

test("an input tells its MPE zones when its keyboard's configuration message changes them, and not again", () => {
  const { log, feed } = createInput();
  // RPN 6 on channel 1: a lower zone of 15 members, MPE 1.1.
  const configure = (members: number) => {
    for (const [controller, value] of [
      [101, 0],
      [100, 6],
      [6, members],
    ])
      feed(0xb0, controller, value);
  };
  const toTold = () => log.filter((line) => line.startsWith('zones'));
  configure(15);
  configure(15);
  expect(toTold()).toEqual(['zones of 15 and 0']);
  configure(0);
  expect(toTold()).toEqual(['zones of 15 and 0', 'zones of 0 and 0']);
});
