import { createTuner, step, type Tuner, type TunerOut, toSettings } from '../../../src/core/tuner/index.js';
import { toMedian } from '../median.js';
import { quantile } from '../quantile.js';
import { CROWD_KEYS, toCrowd } from './crowd.js';
import { amount, type Figure, ratio, tellFigures } from './figure.js';

/** What a decision costs: by how much sounds, by prime limit, for a cluster of ten, and in a crowd. */
const OUT: TunerOut = { start() {}, retune() {}, release() {}, end() {}, enter() {} };
const CHORD = [48, 52, 55, 60, 64, 67, 71, 74, 77, 81];
const ROOTS = [0, 5, 7, 2, 9];
const SOUNDING = [1, 2, 4, 8, 16, 32, 64];
const LIMITS = [3, 5, 7, 11, 13] as const;
const ROUNDS = 3000;
const TURNS = 5;
const CLUSTER_RUNS = 5;
/** Far more than hands hold: what pedals and many parts leave sounding. The first is what the others are told by. */
const CROWDS = [16, 256, 2000];
const CROWD_ROUNDS = 300;
/** What a decision in the largest crowd may cost beside one in the smallest. */
const CROWD_BUDGET = 3;

// All of them in turn, and again: what the machine does meanwhile then falls on all alike.
const soundings = new Map(SOUNDING.map((sounding) => [sounding, [] as number[]]));
const limits = new Map(LIMITS.map((limit) => [limit, [] as number[]]));
const crowds = new Map(CROWDS.map((sounding) => [sounding, [] as number[]]));
const tens: number[] = [];
for (let turn = 0; turn < TURNS; turn++) {
  for (const [sounding, medians] of soundings) medians.push(quantile(timeDecisions(sounding, 5), 0.5));
  for (const [limit, medians] of limits) medians.push(quantile(timeDecisions(4, limit), 0.5));
  for (const [sounding, medians] of crowds) medians.push(quantile(timeInCrowd(sounding), 0.5));
  tens.push(quantile(timeDecisions(10, 5), 0.99));
}
const figures: Figure[] = [
  amount('decision/4', 'a decision with 4 sounding, median', toMedian(soundings.get(4)!), 'µs', 5),
  amount('decision/10', 'a decision with 10 sounding, p99', toMedian(tens), 'µs', 50),
];
for (const [sounding, medians] of soundings) {
  if (sounding === 4) continue;
  const value = Math.min(...medians) / Math.min(...soundings.get(4)!);
  figures.push(
    ratio(`decision/sounding-${sounding}`, `a decision with ${sounding} sounding ÷ one with 4`, value),
  );
}
for (const [limit, medians] of limits) {
  if (limit === 5) continue;
  const value = Math.min(...medians) / Math.min(...limits.get(5)!);
  figures.push(ratio(`decision/limit-${limit}`, `a decision in limit ${limit} ÷ one in 5`, value));
}
for (const sounding of CROWDS.slice(1)) {
  const value = Math.min(...crowds.get(sounding)!) / Math.min(...crowds.get(CROWDS[0])!);
  const what = `a decision in a crowd of ${sounding} ÷ one of ${CROWDS[0]}`;
  figures.push(ratio(`decision/crowd-${sounding}`, what, value, CROWD_BUDGET));
}
figures.push(...measureClusters());
tellFigures(figures);

/** Microseconds of one more note against a held chord, in music that goes round, with the tuner woken in time. */
function timeDecisions(sounding: number, limit: (typeof LIMITS)[number]): number[] {
  // Beyond ten fingers: every key from the lowest up.
  const chord = sounding <= CHORD.length ? CHORD.slice(0, sounding) : toKeys(sounding);
  const tuner = createTuner(toSettings({ limit }));
  const times: number[] = [];
  let atMs = 0;
  for (let round = 0; round < 2 * ROUNDS; round++) {
    const root = sounding <= CHORD.length ? ROOTS[round % ROOTS.length] : 0;
    atMs += 500;
    strike(
      tuner,
      chord.map((key) => key + root),
      atMs,
    );
    atMs += 100;
    step(tuner, { kind: 'time', atMs }, OUT);
    const key = 92 + ((round * 5) % 12);
    const from = process.hrtime.bigint();
    step(tuner, { kind: 'note-on', atMs, part: 0, key }, OUT);
    if (round >= ROUNDS) times.push(Number(process.hrtime.bigint() - from) / 1000);
    atMs += 100;
    step(tuner, { kind: 'note-off', atMs, part: 0, key }, OUT);
    // Large chords stay: to strike them anew would take all the time.
    if (sounding > CHORD.length && round > 0) continue;
    if (sounding <= CHORD.length)
      for (const one of chord) step(tuner, { kind: 'note-off', atMs, part: 0, key: one + root }, OUT);
  }
  return times;
}

/** Microseconds of one more note beside keys of many parts that are held all the while. */
function timeInCrowd(sounding: number): number[] {
  const tuner = createTuner(toSettings({}));
  const times: number[] = [];
  let atMs = 0;
  for (const { part, key } of toCrowd(sounding)) {
    atMs += 40;
    step(tuner, { kind: 'note-on', atMs, part, key }, OUT);
  }
  for (let round = 0; round < 2 * CROWD_ROUNDS; round++) {
    const key = CROWD_KEYS + (round % (128 - CROWD_KEYS));
    atMs += 100;
    step(tuner, { kind: 'time', atMs }, OUT);
    const from = process.hrtime.bigint();
    step(tuner, { kind: 'note-on', atMs, part: 0, key }, OUT);
    if (round >= CROWD_ROUNDS) times.push(Number(process.hrtime.bigint() - from) / 1000);
    atMs += 100;
    step(tuner, { kind: 'note-off', atMs, part: 0, key }, OUT);
  }
  return times;
}

/** Strikes keys that don't sound yet. */
function strike(tuner: Tuner, keys: readonly number[], atMs: number): void {
  for (const key of keys)
    if (!tuner.notes.some((note) => note.key === key))
      step(tuner, { kind: 'note-on', atMs, part: 0, key }, OUT);
}

function toKeys(count: number): number[] {
  return Array.from({ length: count }, (_, i) => 28 + i);
}

/**
 * Ten keys at once, from spread chords to all twelve semitones side by side: the sum of their ten decisions.
 *
 * The tuner does the same work each time, so the whole is played several times: the least time of each cluster is what
 * it costs where nothing else runs in between.
 */
function measureClusters(): Figure[] {
  const runs = Array.from({ length: CLUSTER_RUNS }, timeClusters);
  const least = runs[0].map((_, i) => Math.min(...runs.map((run) => run[i])));
  return [
    amount(
      'cluster/p99',
      'a struck cluster of ten, p99',
      toMedian(runs.map((run) => quantile(run, 0.99))),
      'ms',
      1,
    ),
    amount(
      'cluster/worst',
      `a struck cluster of ten, each at the least of ${CLUSTER_RUNS} runs, worst`,
      quantile(least, 1),
      'ms',
      1,
    ),
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
