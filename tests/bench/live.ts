import { LiveSession } from '../../src/app/live/live-session.js';
import { DEFAULT_INPUT, DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET } from '../../src/app/live/live-settings.js';
import { warmUp } from '../../src/app/live/warm-up.js';
import { goFirst } from '../../src/io/clock/index.js';
import { NoTime, playStrikes } from './live/no-time.js';
import { benchWire } from './live/wire.js';

/**
 * What Leeway adds between a key and a synth, and what it sends:
 *
 *     npm run bench:live -- [SECONDS] [FOLDER OF CORPORA]
 *
 * The first table is measured in real time, SECONDS long (default 60): ten notes are held, and an eleventh is struck every
 * 10 ms and let go 5 ms later. The second, on a folder of corpora, counts bytes.
 */
const [seconds = '60', folder] = process.argv.slice(2);
const BUDGET_MS = { p50: 0.05, p99: 0.3, worst: 3 };

async function benchLatency(length: number): Promise<void> {
  const ports = new NoTime();
  let ticking: NodeJS.Timeout | undefined;
  const session = new LiveSession(
    { ...DEFAULT_LIVE_SETTINGS, inputs: [DEFAULT_INPUT], outlets: [DEFAULT_OUTLET] },
    {
      ports,
      now: () => performance.now(),
      tell: () => {},
      wake: () => {
        ticking ??= setInterval(tick, 10);
      },
    },
  );
  function tick(): void {
    session.tick();
    if (session.tickMs !== Infinity) return;
    clearInterval(ticking);
    ticking = undefined;
  }
  warmUp(session.settings, () => performance.now());
  const isFirst = await goFirst();
  session.start();
  await playStrikes(ports, Math.min(5, length / 4));
  session.latency.clear();
  const before = ports.sent;
  const strikes = await playStrikes(ports, length);
  const { count, p50, p99, worst } = session.latency.quantiles();
  session.stop();
  clearInterval(ticking);
  console.log(
    `\n${strikes} strikes in ${length} s with ten notes sounding: ${count} messages in, ${ports.sent - before} out.\n`,
  );
  console.log(`The music goes before other programs, as in leeway live: ${isFirst ? 'yes' : 'no'}.\n`);
  console.log('| callback to last send | measured | budget | kept |');
  console.log('|---|--:|--:|---|');
  const row = (what: string, micros: number, budgetMs: number) => {
    const ms = micros / 1000;
    console.log(`| ${what} | ${ms.toFixed(3)} ms | ${budgetMs} ms | ${ms < budgetMs ? 'yes' : 'no'} |`);
    if (ms >= budgetMs) process.exitCode = 1;
  };
  row('median', p50, BUDGET_MS.p50);
  row('p99', p99, BUDGET_MS.p99);
  row('worst', worst, BUDGET_MS.worst);
}

await benchLatency(Number(seconds));
if (folder !== undefined) benchWire(folder);
