import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { cpus, release, totalmem, type } from 'node:os';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { writePlace } from '../support/document.js';
import { toMedian } from './median.js';
import type { Figure } from './suite/figure.js';

/**
 * Speed, all of it in one run:
 *
 *     npm run bench -- [--runs N] [--only PART[,PART…]] [--ratios] [--write]
 *
 * Each part runs in a process of its own, N times (default 3), and the medians are shown. A ratio of two things in one run is
 * held to twice what `baseline.json` has for it; a part with a ratio beyond that is run once more, N times, before it
 * counts, since these are shared machines. Times belong to the machine and stand beside their budgets. `--write` makes the
 * baseline and the table in README.md beside this file anew. Ends with 1 if a gate or a budget isn't kept; with `--ratios` budgets are
 * only told, for a machine whose own pace says nothing.
 */
const PARTS = ['decision', 'path', 'codec', 'retune', 'plan', 'feed'];
/** How far a ratio may be above its baseline. */
const GATE = 2;
const BASELINE = fileURLToPath(new URL('../../../tests/bench/baseline.json', import.meta.url));
const README = new URL('../../../tests/bench/README.md', import.meta.url);
/** Where the table stands in it. */
const PLACE = 'benchmarks';

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '3' },
    only: { type: 'string', default: PARTS.join(',') },
    ratios: { type: 'boolean', default: false },
    write: { type: 'boolean', default: false },
  },
});
const runs = Number(values.runs);
const parts = values.only.split(',');
const unknown = parts.filter((part) => !PARTS.includes(part));
if (unknown.length > 0 || !(runs >= 1)) {
  console.error(`There are the parts ${PARTS.join(', ')}, and at least one run.`);
  process.exit(2);
}
const baseline = JSON.parse(readFileSync(BASELINE, 'utf8')) as Record<string, number>;
const figures = parts.flatMap((part) => measurePart(part));
const lines = [
  '| what | measured | baseline | at most | kept |',
  '|---|--:|--:|--:|---|',
  ...figures.map(toRow),
];
console.log(lines.join('\n'));
if (values.write) write();
if (!figures.every(values.ratios ? isWithinGate : isKept)) process.exitCode = 1;

/** The medians of a part; measured once more if one of its ratios is beyond its gate. */
function measurePart(part: string): Figure[] {
  const first = toMedians(runPart(part));
  if (first.every(isWithinGate)) return first;
  console.error(`${part}: beyond its gate, measured once more.`);
  return toMedians(runPart(part));
}

function runPart(part: string): Figure[][] {
  return Array.from({ length: runs }, (_, i) => {
    console.error(`${part}, run ${i + 1} of ${runs}`);
    const program = fileURLToPath(new URL(`./suite/${part}.js`, import.meta.url));
    const child = spawnSync(process.execPath, [program], {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    if (child.status !== 0) throw new Error(`The part ${part} ended with ${child.status}.`);
    return JSON.parse(child.stdout) as Figure[];
  });
}

function toMedians(all: readonly (readonly Figure[])[]): Figure[] {
  return all[0].map((figure, i) => ({ ...figure, value: toMedian(all.map((run) => run[i].value)) }));
}

/** Twice the baseline of a ratio; infinite where nothing is held to it. */
function gateOf({ id, isGated }: Figure): number {
  return isGated && baseline[id] !== undefined ? GATE * baseline[id] : Infinity;
}

/** The most a figure may be. */
function mostOf(figure: Figure): number {
  return Math.min(gateOf(figure), figure.budget ?? Infinity);
}

function isWithinGate(figure: Figure): boolean {
  return figure.value <= gateOf(figure);
}

function isKept(figure: Figure): boolean {
  return figure.value <= mostOf(figure);
}

function toRow(figure: Figure): string {
  const { id, what, value, unit, isGated } = figure;
  const format = (its = Infinity) => (its === Infinity ? '' : `${toDigits(its)} ${unit}`);
  const most = mostOf(figure);
  const before = isGated ? baseline[id] : undefined;
  const kept = most === Infinity ? '' : isKept(figure) ? 'yes' : 'NO';
  return `| ${what} | ${format(value)} | ${format(before)} | ${format(most)} | ${kept} |`;
}

function toDigits(value: number): string {
  return value >= 100 ? value.toFixed(0) : value.toPrecision(3);
}

/** The baseline and the table. Parts that weren't run keep their baseline. */
function write(): void {
  for (const { id, isGated, value } of figures) if (isGated) baseline[id] = Number(value.toPrecision(3));
  const sorted = Object.fromEntries(Object.entries(baseline).sort(([a], [b]) => (a < b ? -1 : 1)));
  writeFileSync(BASELINE, `${JSON.stringify(sorted, undefined, 2)}\n`);
  if (parts.length < PARTS.length) return;
  const machine = `Measured on ${cpus().length} processors of the kind ${cpus()[0].model.trim()}, ${(totalmem() / 2 ** 30).toFixed(0)} GiB, ${type()} ${release()}, Node ${process.version}: ${runs === 1 ? 'one run' : `medians of ${runs} runs`}, each part in a process of its own.`;
  const table = ['| what | measured | budget |', '|---|--:|--:|', ...figures.map(toDocumentRow)];
  writePlace(README, PLACE, `${machine}\n\n${table.join('\n')}`);
}

function toDocumentRow({ what, value, unit, budget }: Figure): string {
  return `| ${what} | ${toDigits(value)} ${unit} | ${budget === undefined ? '' : `${toDigits(budget)} ${unit}`} |`;
}
