import { LiveSession } from '../../src/app/live/live-session.js';
import { STOCK_INPUT, STOCK_LIVE_SETTINGS, STOCK_OUTLET } from '../../src/app/live/live-settings.js';
import { warmUp } from '../../src/app/live/warm-up.js';
import type { OutputLink, PortSystem } from '../../src/io/ports/index.js';
import { benchWire } from './live/wire.js';

/**
 * What Leeway adds between a key and a synth, and what it sends:
 *
 *     npm run bench:live -- [SECONDS] [FOLDER OF CORPORA]
 *
 * The first table is measured in real time, SECONDS long (stock 60): ten notes are held, and an eleventh is struck every
 * 10 ms and let go 5 ms later. The second, on a folder of corpora, counts bytes.
 */
const [seconds = '60', folder] = process.argv.slice(2);
const HELD = [48, 52, 55, 60, 64, 67, 71, 74, 76, 79];
const ROOTS = [0, 5, 7, 2, 9];
const BUDGET_MS = { p50: 0.05, p99: 0.3, worst: 3 };

/** Ports that take no time: an input that is played by hand, and an output that counts. */
class NoTime implements PortSystem {
  readonly virtualPorts = true;
  sent = 0;
  #onBytes: (bytes: Uint8Array) => void = () => {};

  play(...bytes: number[]): void {
    this.#onBytes(Uint8Array.from(bytes));
  }

  list() {
    return { inputs: [], outputs: [] };
  }

  openInput(): never {
    throw new Error('There are only ports of our own.');
  }

  openOutput(): never {
    throw new Error('There are only ports of our own.');
  }

  createInput(name: string, onBytes: (bytes: Uint8Array) => void) {
    this.#onBytes = onBytes;
    return { placeNow: () => ({ name, occurrence: 1 }), close() {} };
  }

  createOutput(name: string): OutputLink {
    return {
      send: () => {
        this.sent++;
      },
      placeNow: () => ({ name, occurrence: 1 }),
      close() {},
    } as OutputLink;
  }

  close(): void {}
}

async function benchLatency(length: number): Promise<void> {
  const ports = new NoTime();
  let ticking: NodeJS.Timeout | undefined;
  const session = new LiveSession(
    { ...STOCK_LIVE_SETTINGS, inputs: [STOCK_INPUT], outlets: [STOCK_OUTLET] },
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
    if (session.needsTick) return;
    clearInterval(ticking);
    ticking = undefined;
  }
  warmUp(session.settings);
  session.start();
  await play(ports, Math.min(5, length / 4));
  session.latency.clear();
  const before = ports.sent;
  const strikes = await play(ports, length);
  const { count, p50, p99, worst } = session.latency.quantiles();
  session.stop();
  clearInterval(ticking);
  console.log(
    `\n${strikes} strikes in ${length} s with ten notes sounding: ${count} messages in, ${ports.sent - before} out.\n`,
  );
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

/** Every half second another chord of ten, and over it a note each 10 ms. @returns how many notes over it */
function play(ports: NoTime, length: number): Promise<number> {
  return new Promise((resolve) => {
    const untilMs = performance.now() + 1000 * length;
    let chord: number[] = [];
    let strikes = 0;
    let turn = 0;
    const timer = setInterval(() => {
      turn++;
      if (turn % 2 === 0) {
        ports.play(0x80, 84 + (strikes % 12), 64);
        return;
      }
      if (strikes % 50 === 0) {
        for (const key of chord) ports.play(0x80, key, 64);
        chord = HELD.map((key) => key + ROOTS[(strikes / 50) % ROOTS.length]);
        for (const key of chord) ports.play(0x90, key, 80);
      }
      strikes++;
      ports.play(0x90, 84 + (strikes % 12), 80);
      if (performance.now() < untilMs) return;
      clearInterval(timer);
      for (const key of [...chord, 84 + (strikes % 12)]) ports.play(0x80, key, 64);
      resolve(strikes);
    }, 5);
  });
}

await benchLatency(Number(seconds));
if (folder !== undefined) benchWire(folder);
