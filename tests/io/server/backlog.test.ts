import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toKeptSettings, toSettings } from '../../../src/core/tuner/index.js';
import { Backlog } from '../../../src/io/server/backlog.js';
import type { KeptFeed } from '../../../src/io/server/kept-feed.js';
import type { ToServer } from '../../../src/io/server/protocol.js';
import { FACTS } from '../../support/feed-stage.js';
import { amongAll, times } from '../../support/properties.js';

const SETTINGS = toKeptSettings(toSettings({}));

/** A message with a number, and the state of a server that has worked off these. */
const toMessage = (n: number): ToServer => ({ kind: 'notice', level: 'info', text: String(n) });
const toNumber = (message: ToServer): number => (message.kind === 'notice' ? Number(message.text) : -1);
const toState = (numbers: readonly number[]) => [...numbers] as unknown as KeptFeed;
const toNumbers = (kept: KeptFeed | undefined) => (kept ?? []) as unknown as readonly number[];

/** A server that is told messages, works some of them off, and may die. */
class Server {
  readonly #queue: number[];
  readonly has: number[];
  done = 0;

  constructor(backlog: Backlog) {
    this.has = [...toNumbers(backlog.begin().kept)];
    this.#queue = backlog.undone.map(toNumber);
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
  const backlog = new Backlog(SETTINGS, FACTS, most);
  let server = new Server(backlog);
  let told = 0;
  for (const order of list) {
    if (order === 'tell') {
      backlog.add(toMessage(told));
      server.hear(told++);
    } else if (order === 'die') server = new Server(backlog);
    else if ('work' in order) server.work(order.work);
    else backlog.settle(server.done, order.keeps ? toState(server.has) : undefined);
  }
  server = new Server(backlog);
  server.work(Infinity);
  return { has: server.has, told };
}

describe('however often servers die', () => {
  test('property: the next one comes to all that was told, each once, in order', () => {
    fc.assert(
      fc.property(orders, (list) => {
        const { has, told } = play(1000, list);
        expect(has).toEqual(Array.from({ length: told }, (_, n) => n));
      }),
      { numRuns: times(500) },
    );
  });

  test('property: where more was told than is kept, it begins in silence or has everything; never a gap', () => {
    let silent = 0;
    fc.assert(
      fc.property(orders, (list) => {
        const { has, told } = play(5, list);
        const first = has[0] ?? told;
        expect(has).toEqual(Array.from({ length: told - first }, (_, i) => first + i));
        if (has.length === 0 && told > 0) silent++;
      }),
      { numRuns: times(500) },
    );
    expect(silent).toBeGreaterThan(amongAll(10));
  });
});

test('a new server begins with the settings and facts that were told last', () => {
  const backlog = new Backlog(SETTINGS, FACTS);
  const settings = toKeptSettings(toSettings({ strategy: 'free' }));
  const facts = { ...FACTS, bypass: true };
  backlog.add({ kind: 'retold', settings, facts: FACTS, atMs: null });
  backlog.add({ kind: 'facts', facts });
  expect(backlog.begin()).toEqual({ settings, facts, kept: undefined });
});

test('a server that leaves thousands unread is stuck; a new one isn’t', () => {
  const backlog = new Backlog(SETTINGS, FACTS);
  for (let n = 0; n < 5000; n++) backlog.add(toMessage(n));
  expect(backlog.isStuck).toBe(false);
  backlog.add(toMessage(5000));
  expect(backlog.isStuck).toBe(true);
  backlog.settle(1, undefined);
  expect(backlog.isStuck).toBe(false);
});
