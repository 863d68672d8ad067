import { rmSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { parseArgs } from 'node:util';
import { goFirst } from '../../src/io/clock/index.js';
import { createRandom } from '../support/random.js';
import { until } from '../support/until.js';
import { Child } from './child.js';
import { Happenings } from './happenings.js';
import { Judge } from './judge.js';
import { readMemory, toSlope } from './memory-watch.js';
import type { OnlookersReport } from './onlookers.js';
import type { PageReport } from './page-looker.js';
import { Stage } from './stage.js';
import { readTake } from './takes.js';

/**
 * A concert that goes on and on:
 *
 *     npm run soak -- [--minutes N] [--viewers N] [--seed N] [--no-page] [--not-first] [--any-pace]
 *
 * The real `leeway live --page` between ports that are not real (stage.ts): two players, three synths that tell what they
 * sound, the page in a browser, 200 viewers and one that changes everything, ports that go and come back, settings that are
 * written anew, messages that are refused, and a take that records. Once a minute everybody rests, and then nothing may sound.
 * What the synths sound is worked out in a thread of its own (listener.ts); the music's thread only copies bytes into a ring.
 * The slowest messages are told with what went on in them. `--not-first` leaves the music's thread among all others, as where
 * the system doesn't let it go first. `--any-pace` judges everything but the time it takes, for a machine that has other
 * work.
 */
const { values } = parseArgs({
  options: {
    minutes: { type: 'string', default: '10' },
    viewers: { type: 'string', default: '200' },
    seed: { type: 'string', default: '1' },
    'no-page': { type: 'boolean', default: false },
    'not-first': { type: 'boolean', default: false },
    'any-pace': { type: 'boolean', default: false },
  },
});
const REST_EVERY_MS = 60_000;
const WARM_UP_MS = 15_000;
/** Releases, and a piece of the page that is told to stop. */
const REST_MS = 1500;
const WORST_MS = 3;
/** What the heap may hold more of at the end than after the warm-up, in MiB. */
const MOST_GROWTH = 2;

const minutes = Number(values.minutes);
const random = createRandom(Number(values.seed));
const stage = new Stage(random);
const happenings = new Happenings(stage, random);
const judge = new Judge();
const stuck: string[] = [];
let rests = 0;

stage.open();
await until('the address of the page', () => stage.url !== undefined);
const url = stage.url!;
const token = url.hash.replace('#token=', '');
const onlookers = await Child.start<OnlookersReport>('./onlookers.js', [
  `ws://${url.host}`,
  token,
  values.viewers,
  values.seed,
]);
const page = values['no-page'] ? undefined : await Child.start<PageReport>('./page-looker.js', [url.href]);

const isFirst = !values['not-first'] && (await goFirst());
for (const player of stage.players) player.play();
happenings.start();
await pause(WARM_UP_MS);
await rest();
const memory = [stage.pace.leaveOut(readMemory)];
stage.pace.clear();
const endMs = performance.now() + 60_000 * minutes;
while (performance.now() < endMs) {
  await pause(Math.min(REST_EVERY_MS, endMs - performance.now()));
  await rest();
  memory.push(stage.pace.leaveOut(readMemory));
  console.error(`${Math.max(0, (endMs - performance.now()) / 60_000).toFixed(1)} minutes to go`);
}
happenings.stop();
await rest(true);
const pace = stage.pace.read();
memory.push(readMemory());

const health = await stage.readHealth();
const seen = await onlookers.report();
const drawn = await page?.report();
const played = stage.players.map(({ counts }) => ({ ...counts }));
const arrived = stage.synths.map(({ counts }) => ({ ...counts }));
onlookers.leave();
page?.leave();

// The end falls into the middle of a chord.
for (const player of stage.players) player.play();
await pause(1000);
for (const player of stage.players) player.pause();
const soundedAtTheEnd = (await stage.listener.report()).reduce((sum, { sounding }) => sum + sounding, 0);
const code = await stage.close();
const heard = await stage.listener.report();
for (const { name, sounding } of heard) if (sounding > 0) stuck.push(`${name} at the end: ${sounding} notes`);

judge.same('exit code', code, 0);
judge.tell('notes that sounded when it was told to stop', String(soundedAtTheEnd));
judge.none(`notes that sounded after ${rests} rests and the end`, stuck);
judge.none(
  'what the synths found amiss',
  heard.flatMap(({ faults }) => faults),
);
judgeInputs();
judgeOutlets();
judgeViewers();
judgeTake();
judgeMemory();
judgePace();
const isKept = judge.print();
await stage.listener.leave();
rmSync(stage.folder, { recursive: true });
process.exitCode = isKept ? 0 : 1;

/** Hands off, and a look whether anything sounds. @param isLast whether nobody goes on */
async function rest(isLast = false): Promise<void> {
  await until('every port to be there', () => happenings.isWhole);
  for (const player of stage.players) player.rest();
  onlookers.tell('rest');
  await pause(REST_MS);
  // A port that was away meanwhile took its note-offs with it.
  if (happenings.isWhole) {
    rests++;
    const at = `${(performance.now() / 1000).toFixed(0)} s`;
    for (const { name, sounding } of await stage.listener.report())
      if (sounding > 0) stuck.push(`${name} at ${at}: ${sounding} notes`);
    const { soundingNotes } = await onlookers.report();
    if (soundingNotes > 0) stuck.push(`on the page at ${at}: ${soundingNotes} notes`);
  }
  if (isLast) return;
  onlookers.tell('go');
  for (const player of stage.players) player.play();
}

function judgeInputs(): void {
  for (const [i, { name }] of stage.players.entries()) {
    const counts = played[i];
    const { messages, strange, isClosed } = health.inputs[i];
    judge.same(`messages played on ${name}`, messages, counts.messages);
    judge.same(`bytes from ${name} that make no sense`, strange, counts.strange);
    judge.same(`${name} closed`, Number(isClosed), 0);
  }
}

function judgeOutlets(): void {
  let refused = 0;
  for (const [i, { name }] of stage.synths.entries()) {
    const counts = arrived[i];
    const { sentMessages, unheardMessages, refusedMessages, supersededMessages, notes } = health.outlets[i];
    refused += counts.refused;
    const { messages, spareNoteOffs } = heard[i];
    const all = stage.synths[i].counts;
    const reached = counts.arrived + counts.lost;
    judge.same(`messages sent to ${name}, and lost with its plug`, sentMessages, reached);
    judge.same(`messages that ${name} heard, of all that arrived`, messages, all.arrived);
    judge.same(`pieces of ${name} the ring had no room for`, all.unheard, 0);
    judge.tell(
      `messages ${name} refused, and what was held back until it was set up again`,
      `${counts.refused} and ${refusedMessages - counts.refused}`,
    );
    judge.tell(`${name}: messages while its port was known to be away`, String(unheardMessages));
    judge.tell(`${name}: note-offs for what nobody had heard`, String(spareNoteOffs));
    judge.tell(`${name}: messages a slow cable was spared`, String(supersededMessages));
    judge.tell(
      `${name}: its notes`,
      Object.entries(notes)
        .map(([what, count]) => `${what} ${count}`)
        .join(', '),
    );
  }
  judge.same('outputs set up again after a refusal', health.session.mends, refused);
  judge.same('faults of our own', health.session.faults, 0);
  judge.tell(
    'happened',
    Object.entries(happenings.counts)
      .map(([what, count]) => `${what} ${count}`)
      .join(', '),
  );
}

function judgeViewers(): void {
  const { frames, mebibytes, cutOff, orders, refused, strange, entries, missed } = seen;
  judge.tell(`frames to ${values.viewers} viewers`, `${frames} (${mebibytes.toFixed(0)} MiB)`);
  judge.same('viewers cut off', cutOff, 0);
  judge.none('messages that are none of the feed', strange);
  judge.none('orders that were refused', refused);
  judge.tell(
    'orders',
    Object.entries(orders)
      .map(([what, count]) => `${what} ${count}`)
      .join(', '),
  );
  judge.tell('ledger entries of all strategies', String(entries));
  judge.same('ledger entries missed, but for frames that were full', missed, 0);
  judge.same('frames dropped by the server', health.server.droppedFrames, 0);
  if (drawn === undefined) return;
  judge.none('what the page complained of', drawn.complaints);
  judge.none('requests that left the origin', drawn.strays);
  judge.tell('the page at the end', `${drawn.drift.trim()}, ${drawn.heap.toFixed(0)} MiB`);
  judge.same('server threads that had to be started again', stage.pageStops, 0);
}

function judgeTake(): void {
  const names = stage.players.map(({ name }) => name);
  const heard = readTake(stage.takes, 'in', names);
  const sent = readTake(
    stage.takes,
    'out',
    stage.synths.map(({ name }) => name),
  );
  const noteOns = stage.players.reduce((sum, { counts }) => sum + counts.noteOns, 0);
  judge.same('note-ons in the take, as played', heard.noteOns, noteOns);
  judge.tell(
    'note-ons and note-offs sent, in the take',
    `${sent.noteOns} and ${sent.noteOffs} in ${sent.files} files`,
  );
}

function judgeMemory(): void {
  const [from, to] = [memory[0], memory[memory.length - 1]];
  const growth = to.live - from.live;
  judge.atMost('what the heap holds, more at the end than after the warm-up', growth, MOST_GROWTH, ' MiB', 2);
  judge.tell('its slope', `${toSlope(memory).toFixed(1)} MiB an hour`);
  judge.tell(
    'its slope in the second half',
    `${toSlope(memory.slice(memory.length >> 1)).toFixed(1)} MiB an hour`,
  );
  judge.tell('the heap in each rest', `${memory.map(({ live }) => live.toFixed(2)).join(', ')} MiB`);
  judge.tell('the whole process, server and all', `${from.rss.toFixed(0)} and ${to.rss.toFixed(0)} MiB`);
}

function judgePace(): void {
  const { messages, quantiles, worstMs, slowest, collections, lateP99Ms, lateWorstMs } = pace;
  judge.tell(
    `from key to synth, ${messages} messages`,
    quantiles.map(({ share, ms }) => `${100 * share} %: ${ms.toFixed(3)} ms`).join(', '),
  );
  if (values['any-pace']) judge.tell('worst', `${worstMs.toFixed(2)} ms`);
  else judge.atMost('worst', worstMs, WORST_MS, ' ms', 2);
  judge.tell('the music goes before other programs', isFirst ? 'yes' : 'no');
  for (const [i, line] of slowest.entries()) judge.tell(`slowest, ${i + 1}`, line);
  judge.tell('collections', `${collections.count}, the longest ${collections.longestMs.toFixed(2)} ms`);
  judge.tell('timers late', `p99 ${lateP99Ms.toFixed(2)} ms, worst ${lateWorstMs.toFixed(2)} ms`);
}
