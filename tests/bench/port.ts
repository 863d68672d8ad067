import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { isNoteOn, LiveParser, type MidiSink } from '../../src/core/midi/index.js';
import { matchPort, type OutputLink, openPortSystem, type PortSystem } from '../../src/io/ports/index.js';
import { quantile } from './quantile.js';

/**
 * `leeway live` against a bare forwarder, both on real ports and in the same run, by turns:
 *
 *     npm run bench:port -- [NOTES]
 *
 * Each is a process of its own with an input and an output. A note is sent to the one and then to the other, and the time
 * is taken until its note-on comes out. It needs a system that can make MIDI ports, such as ALSA's sequencer.
 */
const SELF = fileURLToPath(import.meta.url);
const PROGRAM = fileURLToPath(new URL('../../../bin/leeway.js', import.meta.url));
const BUDGET = 1.1;
const WARM_UP = 200;
const GAP_MS = 5;
const LOST_MS = 1000;

const [mode = '2000'] = process.argv.slice(2);
/** Sends on what comes in, and nothing else. */
async function forward(): Promise<void> {
  const ports = await openPortSystem();
  const out = ports.createOutput('Bare Out');
  ports.createInput('Bare In', (bytes) => out.send(bytes));
  setInterval(() => {}, 1000);
}

async function compare(notes: number): Promise<void> {
  const children: ChildProcess[] = [
    spawn(process.execPath, [SELF, 'forward'], { stdio: 'ignore' }),
    spawn(
      process.execPath,
      [PROGRAM, 'live', '--virtual-in', 'Leeway In', '--virtual-out', 'Leeway Out', '--strategy', 'free'],
      { stdio: 'ignore' },
    ),
  ];
  const ports = await openPortSystem();
  try {
    const bare = await Way.open(ports, 'Bare');
    const leeway = await Way.open(ports, 'Leeway');
    for (let n = 0; n < notes + WARM_UP; n++) {
      if (n === WARM_UP) for (const way of [bare, leeway]) way.times.length = 0;
      for (const way of n % 2 === 0 ? [bare, leeway] : [leeway, bare]) await way.play(48 + ((n * 7) % 36));
    }
    console.log(
      `\n${notes} notes through each, by turns; the ports lost ${bare.lost} of the bare forwarder's and ${leeway.lost} of Leeway's.\n`,
    );
    console.log('| key to note-on at the far end | bare forwarder | leeway live | ratio | budget | kept |');
    console.log('|---|--:|--:|--:|--:|---|');
    for (const [name, share] of [
      ['median', 0.5],
      ['p99', 0.99],
    ] as const) {
      const [without, with_] = [bare, leeway].map((way) => quantile(way.times, share));
      const ratio = with_ / without;
      console.log(
        `| ${name} | ${without.toFixed(3)} ms | ${with_.toFixed(3)} ms | ${ratio.toFixed(2)} × | ${BUDGET} × | ${ratio <= BUDGET ? 'yes' : 'no'} |`,
      );
      if (ratio > BUDGET) process.exitCode = 1;
    }
  } finally {
    for (const child of children) child.kill('SIGTERM');
    ports.close();
  }
}

/** A way in and out of one of the two. */
class Way {
  readonly times: number[] = [];
  lost = 0;
  readonly #hand: OutputLink;
  #heard: (atMs: number) => void = () => {};

  private constructor(ports: PortSystem, hand: OutputLink, name: string) {
    this.#hand = hand;
    const sink: MidiSink = {
      channel: (status, _, data2) => {
        if (isNoteOn(status, data2)) this.#heard(performance.now());
      },
      system: () => {},
    };
    const parser = new LiveParser();
    const place = find(ports.list().inputs, `${name} Out`);
    if (place === undefined) throw new Error(`There is no ${name} Out.`);
    ports.openInput(place, (bytes) => parser.feed(bytes, sink));
  }

  /** Waits until both ports are there. */
  static async open(ports: PortSystem, name: string): Promise<Way> {
    for (let tries = 0; tries < 600; tries++) {
      const { inputs, outputs } = ports.list();
      const place = find(outputs, `${name} In`);
      if (place !== undefined && find(inputs, `${name} Out`) !== undefined) {
        await pause(500);
        return new Way(ports, ports.openOutput(place), name);
      }
      await pause(100);
    }
    throw new Error(`${name} did not come.`);
  }

  /** One note through; a note that the port system itself lets fall (a server that ran late) is counted, not timed. */
  async play(key: number): Promise<void> {
    const heard = new Promise<number | undefined>((resolve) => {
      const lost = setTimeout(resolve, LOST_MS, undefined);
      this.#heard = (atMs) => {
        clearTimeout(lost);
        resolve(atMs);
      };
    });
    const fromMs = performance.now();
    this.#hand.send(Uint8Array.of(0x90, key, 80));
    const atMs = await heard;
    if (atMs === undefined) this.lost++;
    else this.times.push(atMs - fromMs);
    this.#hand.send(Uint8Array.of(0x80, key, 64));
    await pause(GAP_MS);
  }
}

function find(places: ReturnType<PortSystem['list']>['inputs'], name: string) {
  const found = matchPort(name, places);
  return found.ok ? found.value : undefined;
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, ms);
  });
}

if (mode === 'forward') await forward();
else await compare(Number(mode));
