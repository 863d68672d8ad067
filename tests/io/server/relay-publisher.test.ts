import { beforeEach, describe, expect, test } from 'vitest';
import { SessionMonitor } from '../../../src/core/monitor/index.js';
import type { EntryFact, Frame } from '../../../src/core/protocol/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { RELAY_FRAMES_PER_SECOND, RelayPublisher } from '../../../src/io/server/relay-publisher.js';
import { FACTS } from '../../support/feed-stage.js';

const FRAME_MS = 1000 / RELAY_FRAMES_PER_SECOND;
const NOBODY = { droppedFrames: 0, viewers: 0 };
const frame = new SessionMonitor({
  settings: toSettings({}),
  facts: FACTS,
  pieces: [],
  session: 'of today',
}).frame(NOBODY);

/** A relay that answers when it is told to, and a clock that is set by hand. */
class Rig {
  nowMs = 0;
  /** What was published: frames by their time. */
  readonly posted: (number | 'snapshot')[] = [];
  readonly texts: string[] = [];
  readonly told: (string | undefined)[] = [];
  isClosed = false;
  #answer: ((lost: string | undefined) => void) | undefined;
  #due: { run: () => void; atMs: number } | undefined;
  readonly publisher = new RelayPublisher(
    {
      post: (what, text) => {
        if (this.#answer !== undefined) throw new Error('Two messages were under way at once.');
        this.posted.push(what === 'snapshot' ? what : (JSON.parse(text) as Frame).atMs);
        this.texts.push(text);
        return new Promise((resolve) => {
          this.#answer = resolve;
        });
      },
      close: () => {
        this.isClosed = true;
      },
    },
    { snapshot: () => `a snapshot at ${this.nowMs}`, tell: (lost) => this.told.push(lost) },
    {
      now: () => this.nowMs,
      pause: (run, ms) => {
        this.#due = { run, atMs: this.nowMs + ms };
        return undefined as unknown as NodeJS.Timeout;
      },
    },
  );

  /** The relay answers. */
  async answer(lost?: string): Promise<this> {
    const answer = this.#answer!;
    this.#answer = undefined;
    answer(lost);
    await new Promise((done) => setImmediate(done));
    return this;
  }

  /** Time passes; what falls due is done at its time. */
  wait(ms: number): this {
    const end = this.nowMs + ms;
    while (this.#due !== undefined && this.#due.atMs <= end) {
      const { run, atMs } = this.#due;
      this.#due = undefined;
      this.nowMs = atMs;
      run();
    }
    this.nowMs = end;
    return this;
  }

  take(atMs: number, ...entries: EntryFact[]): this {
    this.publisher.take({ ...frame, atMs, entries });
    return this;
  }
}

let rig: Rig;
beforeEach(async () => {
  rig = new Rig();
  rig.publisher.start();
  await rig.answer();
});

const entry = (n: number) => ({ n, kind: 'offset' }) as EntryFact;

describe('a publisher to a relay', () => {
  test('begins with a snapshot, and publishes a first frame at once', () => {
    rig.take(1);
    expect(rig.posted).toEqual(['snapshot', 1]);
  });

  test('publishes at most so many frames a second, and of several the newest', async () => {
    await rig.take(1).answer();
    rig.take(2).take(3).take(4);
    expect(rig.posted).toEqual(['snapshot', 1]);
    rig.wait(FRAME_MS);
    expect(rig.posted).toEqual(['snapshot', 1, 4]);
    expect(rig.publisher.counters).toMatchObject({ sentFrames: 1, replacedFrames: 2 });
  });

  test('keeps no more than the newest frame while the relay is slow', async () => {
    rig.take(1);
    for (let atMs = 2; atMs < 500; atMs++) rig.wait(33).take(atMs);
    expect(rig.posted).toEqual(['snapshot', 1]);
    await rig.answer();
    expect(rig.posted).toEqual(['snapshot', 1, 'snapshot']);
    await rig.take(500).answer();
    expect(rig.posted).toEqual(['snapshot', 1, 'snapshot', 500]);
  });

  test('publishes the entries of the frames that were replaced', async () => {
    await rig.take(1, entry(1)).answer();
    rig.take(2, entry(2), entry(3)).take(3).take(4, entry(4)).wait(FRAME_MS);
    const last = JSON.parse(rig.texts.at(-1)!) as Frame;
    expect(last.entries.map(({ n }) => n)).toEqual([2, 3, 4]);
    await rig.answer();
    rig.take(5).wait(FRAME_MS);
    expect((JSON.parse(rig.texts.at(-1)!) as Frame).entries).toEqual([]);
  });

  test('publishes a snapshot every ten seconds, in silence too', async () => {
    rig.wait(9999);
    expect(rig.posted).toEqual(['snapshot']);
    rig.wait(1);
    await rig.answer();
    rig.wait(10_000);
    expect(rig.texts).toEqual(['a snapshot at 0', 'a snapshot at 10000', 'a snapshot at 20000']);
  });

  test('publishes changed settings by a snapshot, two seconds after the last one at the earliest', async () => {
    for (let i = 0; i < 5; i++) {
      rig.publisher.refresh();
      rig.wait(100);
    }
    expect(rig.posted).toEqual(['snapshot']);
    rig.wait(1500);
    // Changed once more while the snapshot is on its way: it isn't in that one.
    rig.publisher.refresh();
    await rig.answer();
    rig.wait(1999);
    expect(rig.posted).toEqual(['snapshot', 'snapshot']);
    rig.wait(1);
    await rig.answer();
    rig.wait(5000);
    expect(rig.posted).toEqual(['snapshot', 'snapshot', 'snapshot']);
  });

  test('tells once that the relay is lost and once that it is back, and begins again with a snapshot', async () => {
    await rig.take(1).answer('it is gone');
    const triedMs: number[] = [];
    for (let i = 0; i < 7; i++) {
      const before = rig.posted.length;
      rig.take(10 + i);
      while (rig.posted.length === before) rig.wait(50);
      triedMs.push(rig.nowMs);
      if (i < 6) await rig.answer('it is gone');
    }
    expect(rig.told).toEqual(['it is gone']);
    expect(rig.posted.slice(2)).toEqual(Array(7).fill('snapshot'));
    expect(triedMs).toEqual([250, 750, 1750, 3750, 7750, 15_750, 23_750]);
    await rig.answer();
    expect(rig.told).toEqual(['it is gone', undefined]);
    rig.take(99);
    expect(rig.posted.at(-1)).toBe(99);
  });

  test('publishes and tells nothing after it was closed', async () => {
    rig.take(1);
    rig.publisher.close();
    await rig.answer('it is gone');
    rig.take(2).wait(60_000);
    expect(rig.posted).toEqual(['snapshot', 1]);
    expect([rig.isClosed, rig.told]).toEqual([true, []]);
  });
});
