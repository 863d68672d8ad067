import { afterEach, beforeEach, expect } from 'vitest';
import { FeedClient } from '../support/feed-client.js';
import { LeewayProcess } from '../support/live-process.js';
import { until } from '../support/until.js';
import { Random, toSeed } from './random.js';
import { parseHexText, toHexText } from './target.js';

const SEED = Number(process.env.LEEWAY_FUZZ_SEED ?? 1);
const ONE_CASE = process.env.LEEWAY_FUZZ_CASE;
const ONE_INPUT = process.env.LEEWAY_FUZZ_INPUT;
const CASES = Number(process.env.LEEWAY_FUZZ_CASES ?? 20_000);
/** Of a thousand cases of all targets, how many go over the network; fewer than the rest, since each takes a connection. */
const SHARE = process.env.LEEWAY_FUZZ_ALONE === undefined ? 0.02 : 1;
const AT_ONCE = 100;
/** A whole program beside its crowd, on a machine that may be busy. */
const LONG_MS = 60_000;
/** What all of them may leave: the heap's own ups and downs. */
const LEFT_BYTES = 100 * 2 ** 20;

/** How many cases a network target runs. */
export const NETWORK_CASES = ONE_CASE !== undefined || ONE_INPUT !== undefined ? 1 : Math.ceil(CASES * SHARE);

interface Health {
  readonly session: { readonly faults: number };
  readonly server: { readonly memoryBytes: number };
}

/** The whole program, somebody who looks at it honestly, and inputs from all over. */
export class Besieged {
  leeway!: LeewayProcess;
  page!: URL;
  /** Looks, and says nothing. */
  good!: FeedClient;

  get place(): { readonly host: string; readonly port: number } {
    return { host: this.page.hostname, port: Number(this.page.port) };
  }

  /** For each test of the file, a program of its own, which must end in peace. */
  use(): this {
    beforeEach(async () => {
      this.leeway = new LeewayProcess(['demo']);
      this.page = new URL((await this.leeway.says('The page: ', LONG_MS)).slice('The page: '.length));
      this.good = await new FeedClient(`ws://${this.page.host}`).isOpen();
    }, LONG_MS);
    afterEach(async () => {
      this.good.vanish();
      this.leeway.kill('SIGTERM');
      expect(await this.leeway.ended).toBe(0);
      expect(this.leeway.said.filter((line) => line.startsWith('The page stopped'))).toEqual([]);
    });
    return this;
  }

  /**
   * Runs the cases, many at once, and sees after each thousand that the program lives and that who looks keeps the frames.
   * @param attack throws where something doesn't hold
   */
  async run(
    name: string,
    generate: (random: Random) => Uint8Array,
    attack: (input: Uint8Array) => Promise<void>,
  ): Promise<void> {
    const before = await this.readHealth();
    const first = Number(ONE_CASE ?? 0);
    for (let next = first; next < first + NETWORK_CASES; next += AT_ONCE) {
      const numbers = Array.from(
        { length: Math.min(AT_ONCE, first + NETWORK_CASES - next) },
        (_, i) => next + i,
      );
      await Promise.all(
        numbers.map(async (number) => {
          const input =
            ONE_INPUT === undefined
              ? generate(new Random(toSeed(name, SEED, number)))
              : parseHexText(ONE_INPUT);
          try {
            await attack(input);
          } catch (cause) {
            const again = `npm run fuzz -- --only ${name} --input ${toHexText(input)}`;
            throw new Error(
              `Case ${number} with seed ${SEED} of ${name}: ${String(cause)}\nAgain: ${again}`,
              { cause },
            );
          }
        }),
      );
      if (next % 1000 === 0) await this.keepsItsFrames();
    }
    await this.keepsItsFrames();
    await this.good.sees('everybody gone', ({ counters }) => counters.viewers === 1, LONG_MS);
    const after = await this.readHealth();
    expect(after.session.faults).toBe(0);
    expect(after.server.memoryBytes - before.server.memoryBytes).toBeLessThan(LEFT_BYTES);
  }

  async readHealth(): Promise<Health> {
    const answer = await fetch(`${this.page.origin}/healthz`);
    expect(answer.status).toBe(200);
    return (await answer.json()) as Health;
  }

  /** Somebody who looks gets frames in order, of a piece that plays on, and nothing that isn't of the feed. */
  async keepsItsFrames(): Promise<void> {
    const before = this.good.of('frame').length;
    await until('frames', () => this.good.of('frame').length > before + 3, LONG_MS);
    expect(this.good.frame?.playing?.name).toBe('choir-warm-up');
    expect(this.good.strange).toEqual([]);
  }
}
