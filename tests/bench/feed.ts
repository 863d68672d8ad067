import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Histogram } from '../../src/app/live/histogram.js';
import { LiveOwner } from '../../src/app/live/live-owner.js';
import { LivePage } from '../../src/app/live/live-page.js';
import { LiveSession } from '../../src/app/live/live-session.js';
import { STOCK_INPUT, STOCK_LIVE_SETTINGS, STOCK_OUTLET } from '../../src/app/live/live-settings.js';
import { warmUp } from '../../src/app/live/warm-up.js';
import { CLOCK, watchVitalSigns } from '../../src/io/clock/index.js';
import { NoTime, playStrikes } from './live/no-time.js';

/**
 * What viewers cost the music:
 *
 *     npm run bench:feed -- [VIEWERS] [SECONDS]
 *
 * A strike every 10 ms over ten held notes, SECONDS long (stock 15) without a viewer, as long with VIEWERS (stock 1 000)
 * on loopback in a process of their own, and once more without; at the end with 100 that read nothing. The figure is the note path's p99 with viewers over that
 * without, in one run, so that the machine's own pace cancels out.
 */
const [viewers = '1000', seconds = '15'] = process.argv.slice(2);
const MOST_RATIO = 1.2;
/** Viewers that stop reading, after the rest. */
const STALLED = 100;

interface Came {
  readonly messages: number;
  readonly bytes: number;
  readonly closed: number;
}

/** Viewers in a process of their own. */
class Crowd {
  readonly #child: ChildProcess;
  came: Came = { messages: 0, bytes: 0, closed: 0 };
  readonly ready: Promise<void>;

  constructor(address: string, count: number, manner: 'reading' | 'stalled' = 'reading') {
    const program = fileURLToPath(new URL('./feed/viewers.js', import.meta.url));
    this.#child = fork(program, [address, String(count), manner]);
    this.ready = new Promise((resolve, reject) => {
      this.#child.on('message', (message: { kind: string } & Came) => {
        if (message.kind === 'ready') resolve();
        else this.came = message;
      });
      this.#child.on('exit', (code) => reject(new Error(`The viewers ended with ${code}.`)));
    });
    this.ready.catch(() => {});
  }

  leave(): void {
    this.#child.disconnect();
  }
}

const ports = new NoTime();
const vitals = watchVitalSigns();
const owner = new LiveOwner(CLOCK);
const page = new LivePage(
  {
    address: '127.0.0.1',
    port: undefined,
    token: 'no one may play here',
    folder: fileURLToPath(new URL('../../page', import.meta.url)),
    version: 'bench',
    pieces: [],
  },
  {
    clock: CLOCK,
    vitals: () => vitals.read(),
    lost: (reason) => console.log(`The server stopped: ${reason}`),
    back: () => {},
  },
);
const session = new LiveSession(
  { ...STOCK_LIVE_SETTINGS, inputs: [STOCK_INPUT], outlets: [STOCK_OUTLET] },
  {
    ports,
    now: CLOCK.now,
    tell: () => {},
    wake: owner.wake,
    ear: page.ear,
    carriage: page.carriage,
  },
);
const port = await page.open(session);
owner.start(session);

/** The note path over some seconds, in microseconds. */
async function measure(): Promise<ReturnType<Histogram['quantiles']>> {
  session.latency.clear();
  await playStrikes(ports, Number(seconds));
  return session.latency.quantiles();
}

async function readMemory(): Promise<{ mib: number; droppedFrames: number }> {
  const answer = await fetch(`http://127.0.0.1:${port}/healthz`);
  const { server } = (await answer.json()) as { server: { memoryBytes: number; droppedFrames: number } };
  return { mib: server.memoryBytes / 2 ** 20, droppedFrames: server.droppedFrames };
}

warmUp(session.settings);
await playStrikes(ports, 5);
const before = await measure();
const quiet = await readMemory();
const crowd = new Crowd(`ws://127.0.0.1:${port}/feed`, Number(viewers));
await crowd.ready;
const from = { ...crowd.came, ms: performance.now() };
const during = await measure();
const crowded = await readMemory();
const passed = (performance.now() - from.ms) / 1000;
const each = (crowd.came.messages - from.messages) / Number(viewers) / passed;
const mebibytes = (crowd.came.bytes - from.bytes) / 2 ** 20 / passed;
const { closed } = crowd.came;
crowd.leave();
await new Promise((done) => setTimeout(done, 2000));
const after = await measure();

// Viewers that connect and then read nothing: what the system takes for them, and what is kept here.
const fromStalled = await readMemory();
const stalled = new Crowd(`ws://127.0.0.1:${port}/feed`, STALLED, 'stalled');
await stalled.ready;
let clogged = fromStalled;
// Until what the system takes for them is full, and for some frames more.
for (let round = 0; round < 20 && clogged.droppedFrames - fromStalled.droppedFrames < 50 * STALLED; round++) {
  await playStrikes(ports, 5);
  clogged = await readMemory();
}
stalled.leave();
owner.stop();
vitals.stop();
await page.close();

console.log(`\n| note path, ${seconds} s each | p50 | p99 | worst |`);
console.log('|---|--:|--:|--:|');
const row = (what: string, { p50, p99, worst }: typeof before) =>
  console.log(`| ${what} | ${p50.toFixed(0)} µs | ${p99.toFixed(0)} µs | ${(worst / 1000).toFixed(2)} ms |`);
row('no viewer', before);
row(`${viewers} viewers`, during);
row('no viewer again', after);
const ratio = during.p99 / ((before.p99 + after.p99) / 2);
const isKept = ratio <= MOST_RATIO;
console.log(
  `\nEach viewer got ${each.toFixed(1)} frames a second, all together ${mebibytes.toFixed(0)} MiB a second; ${closed} were cut off, ${crowded.droppedFrames} frames dropped.`,
);
console.log(
  `Memory of the whole process: ${quiet.mib.toFixed(0)} MiB with no viewer, ${crowded.mib.toFixed(0)} MiB with ${viewers}.`,
);
console.log(
  `${STALLED} viewers that stop reading cost ${(clogged.mib - fromStalled.mib).toFixed(0)} MiB; ${clogged.droppedFrames - fromStalled.droppedFrames} frames were not sent to them.`,
);
console.log(
  `p99 with viewers is ${ratio.toFixed(2)} × that without; ${MOST_RATIO} × is allowed: ${isKept ? 'kept' : 'NOT kept'}.`,
);
if (!isKept) process.exitCode = 1;
