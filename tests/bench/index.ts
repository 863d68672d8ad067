import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { retune } from '../../src/app/retune.js';
import {
  formatMidiFile,
  META,
  type MidiFile,
  parseMidiFile,
  type TrackEvent,
} from '../../src/core/midi/index.js';
import { createTuner, step, type TunerOut, toSettings } from '../../src/core/tuner/index.js';

/**
 * Speed, as figures of one run: `npm run bench`. Absolute times belong to the machine; each stands beside its budget, and
 * the retuning of a big file beside our own bare reading and writing of it.
 */
const SELF = fileURLToPath(import.meta.url);
const OUT: TunerOut = { start() {}, retune() {}, release() {}, end() {}, enter() {} };
const EVENTS = 1_000_000;
const CLUSTER_RUNS = 5;
const mode = process.argv[2];

if (mode === 'bare' || mode === 'retune') {
  runBigFile(mode, process.argv[3]);
} else {
  const rows = [
    ...benchDecision(4, 'median', 0.5, 5),
    ...benchDecision(10, 'p99', 0.99, 50),
    ...benchCluster(),
    ...benchBigFile(),
  ];
  console.log('| what | measured | budget | kept |');
  console.log('|---|--:|--:|---|');
  for (const { what, measured, budget, unit } of rows) {
    const kept = measured <= budget ? 'yes' : 'no';
    console.log(`| ${what} | ${measured.toFixed(2)} ${unit} | ${budget} ${unit} | ${kept} |`);
  }
  if (rows.some((row) => row.measured > row.budget)) process.exitCode = 1;
}

interface Row {
  readonly what: string;
  readonly measured: number;
  readonly budget: number;
  readonly unit: string;
}

/** One more note against a held chord, in music that goes round, with the tuner woken in time as a live session does. */
function benchDecision(held: number, label: string, share: number, budget: number): Row[] {
  const chord = [48, 52, 55, 60, 64, 67, 71, 74, 77, 81].slice(0, held);
  const roots = [0, 5, 7, 2, 9];
  const tuner = createTuner(toSettings({}));
  const times: number[] = [];
  let atMs = 0;
  for (let round = 0; round < 30_000; round++) {
    const root = roots[round % roots.length];
    atMs += 500;
    for (const key of chord) step(tuner, { kind: 'note-on', atMs, part: 0, key: key + root }, OUT);
    atMs += 100;
    step(tuner, { kind: 'time', atMs }, OUT);
    const key = 92 + ((round * 5) % 12);
    const from = process.hrtime.bigint();
    step(tuner, { kind: 'note-on', atMs, part: 0, key }, OUT);
    if (round > 10_000) times.push(Number(process.hrtime.bigint() - from) / 1000);
    atMs += 100;
    step(tuner, { kind: 'note-off', atMs, part: 0, key }, OUT);
    for (const one of chord) step(tuner, { kind: 'note-off', atMs, part: 0, key: one + root }, OUT);
  }
  return [
    {
      what: `a decision with ${held} sounding, ${label}`,
      measured: quantile(times, share),
      budget,
      unit: 'µs',
    },
  ];
}

/**
 * Ten keys at once, from spread chords to all twelve semitones side by side: the sum of their ten decisions.
 *
 * The tuner does the same work each time, so the whole is played several times: the least time of each cluster is what
 * it costs where nothing else runs in between; the first run alone has the machine's other work in it.
 */
function benchCluster(): Row[] {
  const runs = Array.from({ length: CLUSTER_RUNS }, timeClusters);
  const least = runs[0].map((_, i) => Math.min(...runs.map((run) => run[i])));
  return [
    { what: 'a struck cluster of ten, p99', measured: quantile(runs[0], 0.99), budget: 1, unit: 'ms' },
    { what: 'a struck cluster of ten, worst', measured: quantile(runs[0], 1), budget: 1, unit: 'ms' },
    {
      what: `the same, each cluster at the least of ${CLUSTER_RUNS} runs, worst`,
      measured: quantile(least, 1),
      budget: 1,
      unit: 'ms',
    },
  ];
}

/** Milliseconds of each cluster, after the compiler has warmed up. */
function timeClusters(): number[] {
  const tuner = createTuner(toSettings({}));
  const times: number[] = [];
  let atMs = 0;
  for (let round = 0; round < 6000; round++) {
    const stride = 1 + (round % 7);
    const keys = [...new Set(Array.from({ length: 10 }, (_, i) => 36 + (round % 12) + i * stride))];
    atMs += 500;
    const from = process.hrtime.bigint();
    for (const key of keys) step(tuner, { kind: 'note-on', atMs, part: 0, key }, OUT);
    if (round > 2000) times.push(Number(process.hrtime.bigint() - from) / 1e6);
    atMs += 300;
    for (const key of keys) step(tuner, { kind: 'note-off', atMs, part: 0, key }, OUT);
  }
  return times;
}

/** Retuning a made file of a million events against reading and writing it, each in a process of its own, in turn. */
function benchBigFile(): Row[] {
  const folder = mkdtempSync(join(tmpdir(), 'leeway-bench-'));
  try {
    const path = join(folder, 'big.mid');
    writeFileSync(path, formatMidiFile(makeBigFile()));
    const ratios: number[] = [];
    let peak = 0;
    for (let round = 0; round < 3; round++) {
      const bare = measureChild('bare', path);
      const full = measureChild('retune', path);
      ratios.push(full.seconds / bare.seconds);
      peak = Math.max(peak, full.megabytes);
      console.error(
        `big file: bare ${bare.seconds.toFixed(2)} s, retune ${full.seconds.toFixed(2)} s, ${full.megabytes.toFixed(0)} MB`,
      );
    }
    return [
      {
        what: 'retune of a million events ÷ bare read and write',
        measured: quantile(ratios, 0.5),
        budget: 4,
        unit: '×',
      },
      { what: 'its peak memory', measured: peak, budget: 600, unit: 'MB' },
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function measureChild(what: string, path: string): { seconds: number; megabytes: number } {
  const child = spawnSync(process.execPath, [SELF, what, path], { encoding: 'utf8' });
  if (child.status !== 0) throw new Error(child.stderr);
  return JSON.parse(child.stdout) as { seconds: number; megabytes: number };
}

function runBigFile(what: 'bare' | 'retune', path: string): void {
  const from = process.hrtime.bigint();
  const read = parseMidiFile(new Uint8Array(readFileSync(path)));
  if (!read.ok) throw new Error(read.problem.message);
  const file =
    what === 'bare'
      ? read.value.file
      : retune(read.value.file, { settings: toSettings({}), outlet: { kind: 'mpe', bendRange: undefined } })
          .file;
  writeFileSync(`${path}.out`, formatMidiFile(file));
  const seconds = Number(process.hrtime.bigint() - from) / 1e9;
  console.log(JSON.stringify({ seconds, megabytes: process.resourceUsage().maxRSS / 1024 }));
}

/** Four voices that go round in chords, half of all events note-ons. */
function makeBigFile(): MidiFile {
  const voices = 4;
  const events: TrackEvent[][] = Array.from({ length: voices }, () => []);
  const chords = [
    [48, 55, 64, 72],
    [45, 57, 64, 72],
    [50, 57, 65, 69],
    [43, 59, 62, 71],
  ];
  for (let n = 0; n < EVENTS / 2 / voices; n++) {
    const chord = chords[n % chords.length];
    for (let voice = 0; voice < voices; voice++) {
      const key = chord[voice] + (Math.floor(n / 64) % 5);
      events[voice].push({ kind: 'channel', tick: n * 240, status: 0x90 | voice, data1: key, data2: 80 });
      events[voice].push({
        kind: 'channel',
        tick: n * 240 + 230,
        status: 0x80 | voice,
        data1: key,
        data2: 64,
      });
    }
  }
  const chunks = events.map((list) => {
    list.push({
      kind: 'meta',
      tick: list[list.length - 1].tick,
      type: META.endOfTrack,
      data: new Uint8Array(0),
    });
    return { kind: 'track' as const, events: list };
  });
  const division = { kind: 'ppq' as const, ticksPerQuarter: 480 };
  return { format: 1, division, headerExtra: new Uint8Array(0), chunks, wrapper: 'none' };
}

function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}
