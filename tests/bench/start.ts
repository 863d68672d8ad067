/**
 * How long commands take from their start to their end, beside Node's own start: `npm run bench:start -- [ROUNDS]`. In
 * each round everything runs once, so that other work on the machine meets all alike; a row tells the median. The modules
 * are counted in a run of their own: the files of the program and of its packages, without Node's own.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { toMedian } from './median.js';

const rounds = Number(process.argv[2] ?? 25);
const PROGRAM = 'bin/leeway.js';
const PIECE = 'configs/demo/choir-warm-up.mid';
const LISTS_MODULES = new URL('../../../tests/support/loaded-modules.mjs', import.meta.url).href;
const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

const folder = mkdtempSync(join(tmpdir(), 'leeway-start-'));
const nothing = { name: 'node -e 0', argv: ['-e', '0'], ms: [] as number[] };
const runs = [
  nothing,
  ...[
    ['-V'],
    ['help'],
    ['help', 'retune'],
    ['retune', PIECE, '-o', join(folder, 'out.mid')],
    ['explain', PIECE],
  ].map((words) => ({ name: words.slice(0, 2).join(' '), argv: [PROGRAM, ...words], ms: [] as number[] })),
];
try {
  for (let round = 0; round < rounds; round++) for (const { argv, ms } of runs) ms.push(time(argv));
  const least = toMedian(nothing.ms);
  console.log(`Node ${process.version}, ${rounds} rounds, load ${loadavg()[0].toFixed(1)}`);
  console.log('| | ms | over Node, ms | of Node’s | modules |');
  console.log('|---|--:|--:|--:|--:|');
  for (const { name, argv, ms } of runs) {
    const its = toMedian(ms);
    const cells = [its.toFixed(0), (its - least).toFixed(0), (its / least).toFixed(2), countModules(argv)];
    console.log(`| ${name} | ${cells.join(' | ')} |`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}

function time(argv: readonly string[]): number {
  const from = performance.now();
  const { status } = spawnSync(process.execPath, argv, { cwd: ROOT, stdio: 'ignore' });
  if (status !== 0) throw new Error(`${argv.join(' ')} ended with ${status}`);
  return performance.now() - from;
}

function countModules(argv: readonly string[]): number {
  const { output } = spawnSync(process.execPath, ['--import', LISTS_MODULES, ...argv], {
    cwd: ROOT,
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe', 'pipe'],
  });
  return (output[3] ?? '').split('\n').filter((url) => url.startsWith('file:')).length;
}
