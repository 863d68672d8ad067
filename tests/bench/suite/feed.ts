import process from 'node:process';
import { Crowd, FeedStage } from '../feed/stage.js';
import { amount, type Figure, ratio, tellFigures } from './figure.js';

/**
 * The feed by the number of viewers: the note path with them ÷ without in the same run, what a frame to one of them costs
 * the processor, and the bytes.
 */
const VIEWERS = [1, 10, 100, 1000];
const SECONDS = 5;

const stage = new FeedStage();
await stage.open();
const figures: Figure[] = [];
for (const viewers of VIEWERS) {
  const idle = process.cpuUsage();
  const before = await stage.measure(SECONDS);
  const alone = process.cpuUsage(idle);
  const crowd = new Crowd(stage.address, viewers);
  await crowd.ready;
  const from = { ...crowd.came, ms: performance.now(), cpu: process.cpuUsage() };
  const during = await stage.measure(SECONDS);
  const used = process.cpuUsage(from.cpu);
  // The crowd tells once a second what has come to it.
  await stage.play(1);
  const seconds = (performance.now() - from.ms) / 1000;
  const frames = (crowd.came.messages - from.messages) / seconds;
  const mebibytes = (crowd.came.bytes - from.bytes) / 2 ** 20 / seconds;
  crowd.leave();
  await stage.play(1);
  const after = await stage.measure(SECONDS);
  const cost = used.user + used.system - alone.user - alone.system;
  figures.push(
    ratio(
      `feed/p99-${viewers}`,
      `note path with ${viewers} viewers ÷ without, p99`,
      during.p99 / ((before.p99 + after.p99) / 2),
    ),
    amount(`feed/bytes-${viewers}`, `sent to ${viewers} viewers`, mebibytes, 'MiB/s'),
  );
  if (viewers >= 100)
    figures.push(
      amount(
        `feed/frame-${viewers}`,
        `processor's time for a frame to one of ${viewers} viewers`,
        cost / SECONDS / frames,
        'µs',
      ),
    );
}
const { mib } = await stage.readServer();
figures.push(amount('feed/memory', 'memory of the whole process', mib * 1.048576, 'MB'));
await stage.close();
tellFigures(figures);
