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
import { toMedian } from './median.js';

/**
 * What viewers cost the music:
 *
 *     npm run bench:feed -- [VIEWERS] [SECONDS] [ROUNDS]
 *
 * A strike every 10 ms over ten held notes: in each of ROUNDS (stock 5) SECONDS long (stock 10) without a viewer and as
 * long with VIEWERS (stock 1 000) on loopback in a process of their own; once more without; at the end with 100 that read
 * nothing. A round's figure is the note path's p99 with viewers over the mean of those without before and after it, so
 * that the machine's own pace cancels out; the figure that counts is the median of the rounds.
 */
const [viewers = '1000', seconds = '10', rounds = '5'] = process.argv.slice(2);
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
const without = [await measure()];
const quiet = await readMemory();
const withViewers: Awaited<ReturnType<typeof measure>>[] = [];
const paces: { frames: number; mebibytes: number; closed: number }[] = [];
let crowded = quiet;
for (let round = 0; round < Number(rounds); round++) {
  const crowd = new Crowd(`ws://127.0.0.1:${port}/feed`, Number(viewers));
  await crowd.ready;
  const from = { ...crowd.came, ms: performance.now() };
  withViewers.push(await measure());
  crowded = await readMemory();
  const passed = (performance.now() - from.ms) / 1000;
  paces.push({
    frames: (crowd.came.messages - from.messages) / Number(viewers) / passed,
    mebibytes: (crowd.came.bytes - from.bytes) / 2 ** 20 / passed,
    closed: crowd.came.closed,
  });
  crowd.leave();
  await new Promise((done) => setTimeout(done, 1000));
  without.push(await measure());
}

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
const row = (what: string, { p50, p99, worst }: (typeof without)[number]) =>
  console.log(`| ${what} | ${p50.toFixed(0)} µs | ${p99.toFixed(0)} µs | ${(worst / 1000).toFixed(2)} ms |`);
without.forEach((quantiles, round) => {
  row('no viewer', quantiles);
  if (round < withViewers.length) row(`${viewers} viewers`, withViewers[round]);
});
const ratios = withViewers.map(({ p99 }, round) => p99 / ((without[round].p99 + without[round + 1].p99) / 2));
const ratio = toMedian(ratios);
const isKept = ratio <= MOST_RATIO;
console.log(
  `\nEach viewer got ${toMedian(paces.map((pace) => pace.frames)).toFixed(1)} frames a second, all together ${toMedian(paces.map((pace) => pace.mebibytes)).toFixed(0)} MiB a second; ${paces.reduce((sum, { closed }) => sum + closed, 0)} were cut off, ${crowded.droppedFrames} frames dropped.`,
);
console.log(
  `Memory of the whole process: ${quiet.mib.toFixed(0)} MiB with no viewer, ${crowded.mib.toFixed(0)} MiB with ${viewers}.`,
);
console.log(
  `${STALLED} viewers that stop reading cost ${(clogged.mib - fromStalled.mib).toFixed(0)} MiB; ${clogged.droppedFrames - fromStalled.droppedFrames} frames were not sent to them.`,
);
console.log(
  `p99 with viewers is ${ratio.toFixed(2)} × that without (rounds: ${ratios.map((one) => one.toFixed(2)).join(', ')}); ${MOST_RATIO} × is allowed: ${isKept ? 'kept' : 'NOT kept'}.`,
);
if (!isKept) process.exitCode = 1;
