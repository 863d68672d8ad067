import { Crowd, FeedStage } from './feed/stage.js';
import { toMedian } from './median.js';

/**
 * What viewers cost the music:
 *
 *     npm run bench:feed -- [VIEWERS] [SECONDS] [ROUNDS]
 *
 * A strike every 10 ms over ten held notes: in each of ROUNDS (default 5) SECONDS long (default 10) without a viewer and as
 * long with VIEWERS (default 1 000) on loopback in a process of their own; once more without; at the end with 100 that read
 * nothing. A round's figure is the note path's p99 with viewers over the mean of those without before and after it, so
 * that the machine's own pace cancels out; the figure that counts is the median of the rounds.
 */
const [viewers = '1000', seconds = '10', rounds = '5'] = process.argv.slice(2);
const MOST_RATIO = 1.2;
/** Viewers that stop reading, after the rest. */
const STALLED = 100;

const stage = new FeedStage();
await stage.open();
const measure = () => stage.measure(Number(seconds));
const readMemory = () => stage.readServer();
const without = [await measure()];
const quiet = await readMemory();
const withViewers: Awaited<ReturnType<typeof measure>>[] = [];
const paces: { frames: number; mebibytes: number; closed: number }[] = [];
let crowded = quiet;
for (let round = 0; round < Number(rounds); round++) {
  const crowd = new Crowd(stage.address, Number(viewers));
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
const stalled = new Crowd(stage.address, STALLED, 'stalled');
await stalled.ready;
let clogged = fromStalled;
// Until what the system takes for them is full, and for some frames more.
for (let round = 0; round < 20 && clogged.droppedFrames - fromStalled.droppedFrames < 50 * STALLED; round++) {
  await stage.play(5);
  clogged = await readMemory();
}
stalled.leave();
await stage.close();

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
