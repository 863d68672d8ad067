import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { findFaults, listFiles, writeLibrary } from './batch/library.js';
import { type RetuneRun, runRetune } from './batch/run-retune.js';

/**
 * Ten thousand files: `npm run bench:batch -- [FILES] [JOBS]`. Small files are made in a temporary folder and retuned by
 * the program itself, a tenth of them and then all, by the live rule and by plans of the whole piece; it says how long
 * that takes and how much memory, and reads every file that comes out. Then a run is killed on the way and resumed: what
 * was finished before must be left as it is, and all be there and whole in the end. Exits with 1 if anything is amiss, or
 * if ten times as many files took twice as much memory.
 */
const files = Number(process.argv[2] ?? 10_000);
const jobs = process.argv[3] === undefined ? [] : ['--jobs', process.argv[3]];
const MOST_GROWTH = 2;

const folder = mkdtempSync(join(tmpdir(), 'leeway-batch-'));
const at = (...names: string[]) => join(folder, ...names);
try {
  writeLibrary(at('tenth'), Math.ceil(files / 10));
  writeLibrary(at('all'), files);
  console.log('| files | | seconds | files a second | memory at its highest, MB | of a tenth’s | faults |');
  console.log('|--:|---|--:|--:|--:|--:|--:|');
  for (const [name, options] of [
    ['live', ['--plan', 'live']],
    ['planned', []],
  ] as const) {
    const tenth = await measure('tenth', `tenth-${name}`, options);
    const all = await measure('all', `all-${name}`, options, tenth);
    if ((all.megabytes ?? Infinity) > MOST_GROWTH * (tenth.megabytes ?? 0))
      fail('memory grows with the number of files');
  }
  await killAndResume();
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function measure(
  input: string,
  output: string,
  options: readonly string[],
  beside?: RetuneRun,
): Promise<RetuneRun> {
  const run = await runRetune([at(input), '-o', at(output), ...jobs, ...options]).done;
  if (run.code !== 0) fail(`the program ended with ${run.code}: ${run.err}`);
  const count = listFiles(at(input)).length;
  const faults = tellFaults(input, output);
  const memory = run.megabytes ?? Number.NaN;
  const ratio = beside?.megabytes === undefined ? '' : (memory / beside.megabytes).toFixed(2);
  const cells = [run.seconds.toFixed(1), (count / run.seconds).toFixed(0), memory.toFixed(0), ratio, faults];
  console.log(`| ${count} | ${options.join(' ')} | ${cells.join(' | ')} |`);
  return run;
}

/** Kills a run once a third of the files are there, in whatever it is doing, and starts it again. */
async function killAndResume(): Promise<void> {
  const argv = [at('all'), '-o', at('killed'), ...jobs];
  const { child, done } = runRetune(argv);
  while (child.exitCode === null && countIn('killed') < files / 3) await wait(20);
  child.kill('SIGKILL');
  const { code, seconds } = await done;
  if (code !== null) fail('the run was over before it could be killed');
  const before = new Map(listFiles(at('killed')).map((name) => [name, toStamp(name)]));
  const inputs = new Set(listFiles(at('all')));
  const finished = [...before.keys()].filter((name) => inputs.has(name));

  const resumed = await runRetune([...argv, '--resume']).done;
  if (resumed.code !== 0) fail(`the resumed run ended with ${resumed.code}: ${resumed.err}`);
  const redone = finished.filter((name) => toStamp(name) !== before.get(name));
  if (redone.length > 0) fail(`${redone.length} finished files were done again`);
  if (!resumed.out.includes(`; ${finished.length} files had been done before`))
    fail(`it didn't say that ${finished.length} files had been done before: ${resumed.out.slice(-300)}`);
  // A file that was being written when it was killed has left its unfinished half under a name of its own.
  const halves = before.size - finished.length;
  console.log(
    `\nKilled after ${seconds.toFixed(1)} s with ${finished.length} of ${files} files finished` +
      ` (and ${halves} half written, under another name); resumed, it did the other ${files - finished.length} in` +
      ` ${resumed.seconds.toFixed(1)} s. Done again: ${redone.length}. Faults: ${tellFaults('all', 'killed', halves)}.`,
  );
}

function toStamp(name: string): string {
  const { ino, mtimeMs, size } = statSync(at('killed', name));
  return `${ino} ${mtimeMs} ${size}`;
}

function countIn(name: string): number {
  try {
    return listFiles(at(name)).length;
  } catch {
    return 0; // not made yet, or a file was renamed while we looked
  }
}

/** @param halves so many files that aren't ours are forgiven */
function tellFaults(input: string, output: string, halves = 0): number {
  const faults = findFaults(at(input), at(output));
  if (faults.length > halves) fail(faults.slice(0, 5).join('\n'));
  return Math.max(0, faults.length - halves);
}

function fail(what: string): void {
  console.error(what);
  process.exitCode = 1;
}
