import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type MonitorSnapshot, ReplayBuffer, type SessionMessage } from '../../../src/core/monitor/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { FACTS } from '../../support/feed-stage.js';
import { amongAll, forAll } from '../../support/properties.js';
import { toRows } from '../../support/rows.js';

const SETTINGS = toSettings({});

/** A message with a number, and the state of a server that has worked off these. */
const toMessage = (n: number): SessionMessage => ({ kind: 'notice', level: 'info', text: String(n) });
const toNumber = (message: SessionMessage): number => (message.kind === 'notice' ? Number(message.text) : -1);
const toState = (numbers: readonly number[]) => [...numbers] as unknown as MonitorSnapshot;
const toNumbers = (snapshot: MonitorSnapshot | undefined) => (snapshot ?? []) as unknown as readonly number[];

/** A server that is told messages, works some of them off, and may die. */
class Server {
  readonly #queue: number[];
  readonly has: number[];
  done = 0;

  constructor(buffer: ReplayBuffer) {
    this.has = [...toNumbers(buffer.begin().snapshot)];
    this.#queue = buffer.undone.map(toNumber);
  }

  hear(n: number): void {
    this.#queue.push(n);
  }

  work(count: number): void {
    const some = this.#queue.splice(0, count);
    this.has.push(...some);
    this.done += some.length;
  }
}

const orders = fc.array(
  fc.oneof(
    { weight: 5, arbitrary: fc.constant('tell' as const) },
    { weight: 3, arbitrary: fc.record({ work: fc.nat(6) }) },
    { weight: 2, arbitrary: fc.record({ keeps: fc.boolean() }) },
    { weight: 1, arbitrary: fc.constant('die' as const) },
  ),
  { maxLength: 120, size: 'max' },
);

/** Tells, works, keeps and dies as ordered; at the end a new server works off all. */
function play(most: number, list: readonly ('tell' | 'die' | { work: number } | { keeps: boolean })[]) {
  const buffer = new ReplayBuffer(SETTINGS, FACTS, most);
  let server = new Server(buffer);
  let told = 0;
  for (const order of list) {
    if (order === 'tell') {
      buffer.add(toMessage(told));
      server.hear(told++);
    } else if (order === 'die') server = new Server(buffer);
    else if ('work' in order) server.work(order.work);
    else buffer.settle(server.done, order.keeps ? toState(server.has) : undefined);
  }
  server = new Server(buffer);
  server.work(Infinity);
  return { has: server.has, told };
}

describe('a replay buffer whose servers die', () => {
  test('property: gives the next server all messages, each once, in order', () => {
    forAll([orders], 500, (list) => {
      const { has, told } = play(1000, list);
      expect(has).toEqual(Array.from({ length: told }, (_, n) => n));
    });
  });

  test('property: gives the next server everything or a start in silence, and never a gap', () => {
    let silent = 0;
    forAll([orders], 500, (list) => {
      const { has, told } = play(5, list);
      const first = has[0] ?? told;
      expect(has).toEqual(Array.from({ length: told - first }, (_, i) => first + i));
      if (has.length === 0 && told > 0) silent++;
    });
    expect(silent).toBeGreaterThan(amongAll(10));
  });
});

test('a replay buffer gives a new server the first settings and facts, and then what came', () => {
  const buffer = new ReplayBuffer(SETTINGS, FACTS);
  const settings = toSettings({ strategy: 'free' });
  const facts = { ...FACTS, bypass: true };
  buffer.add({ kind: 'settings', settings, facts: FACTS, atMs: 0 });
  buffer.add({ kind: 'facts', atMs: 0, facts });
  expect(buffer.begin()).toEqual({ settings: SETTINGS, facts: FACTS, snapshot: undefined });
  expect(buffer.undone).toHaveLength(2);
  expect(buffer.toTuner('free')?.settings).toMatchObject({ strategy: 'free', leewayCents: Infinity });
});

test('a replay buffer with a gap knows no replicas, and gives the next server the latest settings and facts', () => {
  const buffer = new ReplayBuffer(SETTINGS, FACTS, 1);
  const settings = toSettings({ strategy: 'free' });
  const facts = { ...FACTS, bypass: true };
  buffer.add(toMessage(0));
  expect(buffer.toTuner('pull')).toBeDefined();
  buffer.add({ kind: 'settings', settings, facts, atMs: 0 });
  expect(buffer.toTuner('pull')).toBeUndefined();
  expect(buffer.begin()).toEqual({ settings, facts, snapshot: undefined });
  // The next server began in silence: it doesn't know what sounded before.
  expect(buffer.toTuner('pull')).toBeUndefined();
});

test('a replay buffer takes a server that leaves thousands unread as stuck, and a new one not', () => {
  const buffer = new ReplayBuffer(SETTINGS, FACTS);
  for (let n = 0; n < 5000; n++) buffer.add(toMessage(n));
  expect(buffer.isStuck).toBe(false);
  buffer.add(toMessage(5000));
  expect(buffer.isStuck).toBe(true);
  buffer.settle(1, undefined);
  expect(buffer.isStuck).toBe(false);
});

test('a replay buffer stores nothing of the music before it began again, and all else', () => {
  const buffer = new ReplayBuffer(SETTINGS, FACTS);
  const strike = toRows({ kind: 'note-on', atMs: 5, part: 0, key: 60 });
  buffer.add(strike);
  buffer.add({ kind: 'playing', playing: null });
  buffer.add({ kind: 'rebuilt', atMs: 10, nextId: 7, passes: [] });
  buffer.add(toRows({ kind: 'note-on', atMs: 20, part: 0, key: 62 }));
  expect(buffer.undone).toHaveLength(4);
  expect(buffer.undone[0]).toEqual({ kind: 'rows', rows: new Float64Array(0) });
  expect(buffer.undone[1]).toEqual({ kind: 'playing', playing: null });
  expect(buffer.toTuner('pull')?.notes.map(({ id, key }) => [id, key])).toEqual([[7, 62]]);
});
