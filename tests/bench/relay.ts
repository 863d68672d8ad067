import { type ChildProcess, fork } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism, setPriority, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { WebSocket } from 'ws';
import { parseRelayAddress } from '../../src/io/server/index.js';
import { RelayConnection } from '../../src/io/server/relay-connection.js';
import { NO_RELAY, RelayServer } from '../support/relay-server.js';
import { pause } from '../support/until.js';
import { FeedStage } from './feed/stage.js';
import { toMedian } from './median.js';
import { quantile } from './quantile.js';

/**
 * A hall at a relay, all on this computer:
 *
 *     npm run bench:relay -- [PHONES] [SECONDS] [ROUNDS]
 *
 * First frames of dense playing are published to PHONES (default 5 000) for SECONDS (default 10), once and five times a
 * second, packed and plain: when does each phone have each? Then the note path: in each of ROUNDS (default 15) a session
 * without a relay and one that publishes to the phones, one after the other. Relay and phones get what the music leaves,
 * as they are other computers.
 */
const [phones = '5000', seconds = '10', rounds = '15'] = process.argv.slice(2);
/** A measurement of the note path, in seconds: short, so that this computer's other work falls on both sides. */
const NOTES_SECONDS = 5;
const MOST_RATIO = 1.1;
const TICKS_A_SECOND = 100;

interface Report {
  readonly timesMs: readonly (readonly number[])[];
  readonly bytes: number;
  readonly closed: number;
}

/** Phones in two processes. */
class Hall {
  readonly #children: readonly ChildProcess[];

  constructor(port: number, count: number, manner: 'packed' | 'plain') {
    const program = fileURLToPath(new URL('./feed/phones.js', import.meta.url));
    this.#children = [0, 1].map(() => fork(program, [String(port), String(count / 2), manner]));
  }

  async ready(): Promise<void> {
    await Promise.all(this.#children.map((child) => hear(child)));
  }

  count(): void {
    for (const child of this.#children) child.send('count');
  }

  /** What came since it counts, of both. */
  async report(): Promise<Report> {
    for (const child of this.#children) child.send('report');
    const both = (await Promise.all(this.#children.map((child) => hear(child)))) as Report[];
    const messages = Math.max(...both.map(({ timesMs }) => timesMs.length));
    return {
      timesMs: Array.from({ length: messages }, (_, n) => both.flatMap(({ timesMs }) => timesMs[n] ?? [])),
      bytes: both.reduce((sum, { bytes }) => sum + bytes, 0),
      closed: both.reduce((sum, { closed }) => sum + closed, 0),
    };
  }

  async leave(): Promise<void> {
    for (const child of this.#children) child.disconnect();
    await pause(1500);
  }
}

function hear(child: ChildProcess): Promise<unknown> {
  return new Promise((resolve, reject) => {
    child.once('message', resolve);
    child.once('exit', (code) => reject(new Error(`The phones ended with ${code}.`)));
  });
}

/** Processor's time of the relay's workers so far, in seconds. */
function readProcessor(relay: RelayServer): number {
  const read = (pid: number) => {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1].split(' ');
    return (Number(fields[11]) + Number(fields[12])) / TICKS_A_SECOND;
  };
  return relay.workers.reduce((sum, pid) => sum + read(pid), 0);
}

/** Frames of a session that plays. */
async function collectFrames(stage: FeedStage): Promise<string[]> {
  const frames: string[] = [];
  const socket = new WebSocket(stage.address);
  socket.on('message', (data) => frames.push(String(data)));
  await stage.play(4);
  socket.terminate();
  return frames.filter((text) => text.startsWith('{"type":"frame"'));
}

/** Publishes at a rate, and tells when phones had it. */
async function measureHall(
  hall: Hall,
  connection: RelayConnection,
  frames: readonly string[],
  aSecond: number,
): Promise<string> {
  hall.count();
  await pause(300);
  const used = readProcessor(relay);
  const sentMs: number[] = [];
  const startMs = performance.now();
  for (let n = 0; n < aSecond * Number(seconds); n++) {
    await pause(Math.max(0, startMs + (n * 1000) / aSecond - performance.now()));
    sentMs.push(performance.timeOrigin + performance.now());
    const lost = await connection.post('frame', frames[n % frames.length]);
    if (lost !== undefined) throw new Error(`The relay: ${lost}`);
  }
  await pause(2000);
  const processor = readProcessor(relay) - used;
  const { timesMs, bytes, closed } = await hall.report();
  const late = timesMs.flatMap((times, n) => times.map((ms) => ms - sentMs[n]));
  const last = timesMs.map((times, n) => Math.max(...times.map((ms) => ms - sentMs[n])));
  const all = Number(phones) * sentMs.length;
  const figures = [
    `${((100 * late.length) / all).toFixed(2)} %`,
    `${quantile(late, 0.5).toFixed(0)} ms`,
    `${quantile(late, 0.99).toFixed(0)} ms`,
    `${quantile(last, 1).toFixed(0)} ms`,
    `${(bytes / late.length).toFixed(0)} B`,
    `${((processor / late.length) * 1e6).toFixed(1)} µs`,
    `${((100 * processor) / Number(seconds)).toFixed(0)} %`,
    `${relay.readMemory().toFixed(0)} MiB`,
    String(closed),
  ];
  return figures.join(' | ');
}

if (NO_RELAY !== undefined) throw new Error(`${NO_RELAY}.`);
const folder = mkdtempSync(join(tmpdir(), 'leeway-relay-'));
const relay = await RelayServer.start(folder, fileURLToPath(new URL('../../page', import.meta.url)));
for (const pid of relay.workers) setPriority(pid, 19);
const address = parseRelayAddress(relay.address);
if (!address.ok) throw new Error(address.problem.message);
const alone = new FeedStage();
await alone.open();
const frames = await collectFrames(alone);

console.log(`\n${phones} phones, ${availableParallelism()} processors, all on one computer.`);
console.log(
  '\n| published | came | p50 | p99 | last phone, worst | bytes a message | relay, a message | relay, of a processor | relay, memory | cut off |',
);
console.log('|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|');
const connection = new RelayConnection(address.value);
for (const manner of ['packed', 'plain'] as const) {
  await connection.post('frame', frames[0]);
  const hall = new Hall(relay.port, Number(phones), manner);
  await hall.ready();
  for (const aSecond of [1, 5])
    console.log(
      `| ${manner}, ${aSecond} a second | ${await measureHall(hall, connection, frames, aSecond)} |`,
    );
  await hall.leave();
}
connection.close();

const publishing = new FeedStage(address.value);
await publishing.open();
const without: Awaited<ReturnType<FeedStage['measure']>>[] = [];
const withRelay: typeof without = [];
const hall = new Hall(relay.port, Number(phones), 'packed');
await hall.ready();
for (let round = 0; round < Number(rounds); round++) {
  without.push(await alone.measure(NOTES_SECONDS));
  withRelay.push(await publishing.measure(NOTES_SECONDS));
}
without.push(await alone.measure(NOTES_SECONDS));
await hall.leave();
await publishing.close();
await alone.close();
await relay.stop();
rmSync(folder, { recursive: true });

console.log(`\n| note path, ${NOTES_SECONDS} s each | p50 | p99 | worst |`);
console.log('|---|--:|--:|--:|');
const row = (what: string, { p50, p99, worst }: (typeof without)[number]) =>
  console.log(`| ${what} | ${p50.toFixed(0)} µs | ${p99.toFixed(0)} µs | ${(worst / 1000).toFixed(2)} ms |`);
without.forEach((quantiles, round) => {
  row('without a relay', quantiles);
  if (round < withRelay.length) row(`a relay with ${phones} phones`, withRelay[round]);
});
const ratios = withRelay.map(({ p99 }, round) => p99 / ((without[round].p99 + without[round + 1].p99) / 2));
const ratio = toMedian(ratios);
const isKept = ratio <= MOST_RATIO;
console.log(
  `\np99 with the relay is ${ratio.toFixed(2)} × that without (rounds: ${ratios.map((one) => one.toFixed(2)).join(', ')}); ${MOST_RATIO} × is allowed: ${isKept ? 'kept' : 'NOT kept'}.`,
);
if (!isKept) process.exitCode = 1;
