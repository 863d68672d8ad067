import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync } from 'node:fs';
import { mkdir, readdir, readFile, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, expect, test } from 'vitest';
import { toArgv } from '../support/argv.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { until } from '../support/until.js';
import { expectWhole } from '../support/whole-files.js';

// What a killed program leaves beside its files, the next start in the same place clears away; and nothing else.

const LOADER = new URL('../support/typescript-loader.mjs', import.meta.url).href;
const SLOW_DISK = new URL('../support/slow-disk.mjs', import.meta.url).href;
const toPath = (name: string) => fileURLToPath(new URL(name, import.meta.url));
const RECORDING = toPath('../support/recording-child.ts');
const HOLDING = toPath('../support/holding-child.ts');
const PROGRAM = toPath('../../bin/leeway.js');
const SONG = toPath('../../configs/demo/choir-warm-up.mid');
const OLD = 'what stood there before';

const folder = useTemporaryFolder();
const children: ChildProcess[] = [];
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
});

/** A program of this project, whose disk is slow if it says for how long. */
function start(argv: readonly string[], slowMs?: number): ChildProcess {
  const before = slowMs === undefined ? [] : ['--import', SLOW_DISK];
  const child = spawn(process.execPath, [...before, ...argv], {
    stdio: ['pipe', 'pipe', 'inherit'],
    env: { ...process.env, LEEWAY_SLOW_DISK_MS: String(slowMs ?? 0) },
  });
  children.push(child);
  return child;
}

function startFromSource(script: string, argument: string, slowMs?: number): ChildProcess {
  return start(['--import', LOADER, script, argument], slowMs);
}

async function said(child: ChildProcess, words: string): Promise<void> {
  let text = '';
  child.stdout?.on('data', (piece) => {
    text += piece;
  });
  await until(words, () => text.includes(words), 60_000);
}

/** Somebody who is just writing a file: its temporary one stays as long as the process runs. */
async function startHolding(path: string): Promise<ChildProcess> {
  const child = startFromSource(HOLDING, path);
  await said(child, 'writing');
  return child;
}

const temporaryIn = (path: string): string[] => readdirSync(path).filter((name) => name.endsWith('.tmp'));

async function kill(child: ChildProcess, signal: NodeJS.Signals = 'SIGKILL'): Promise<void> {
  const ended = once(child, 'close');
  child.kill(signal);
  await ended;
}

async function finish(child: ChildProcess): Promise<void> {
  const ended = once(child, 'close');
  child.stdin?.write('now\n');
  expect((await ended)[0]).toBe(0);
}

test('the next session removes what a killed take left, and nothing that other programs write', async () => {
  const killed = startFromSource(RECORDING, folder(), 60);
  await said(killed, '\n');
  const [take] = await readdir(folder());
  killed.kill('SIGTERM');
  await until('a file being put in place', () => temporaryIn(join(folder(), take)).length > 0);
  await kill(killed);
  const [leftover] = temporaryIn(join(folder(), take));
  expect(leftover).toBeDefined();
  const before = await readFile(join(folder(), take, 'in-1 Keys.mid'));

  // In the same take somebody writes; beside the takes are folders that are none of ours.
  const other = await startHolding(join(folder(), take, 'retuned.mid'));
  const inUse = temporaryIn(join(folder(), take)).filter((name) => name !== leftover);
  expect(inUse).toHaveLength(1);
  await writeFile(join(folder(), take, leftover), 'x'); // the one who came to write has cleared it
  await mkdir(join(folder(), 'notes'));
  await writeFile(join(folder(), 'notes', leftover), 'x');
  await writeFile(join(folder(), take, '.leeway-notes.tmp'), 'x');

  const next = startFromSource(RECORDING, folder());
  await said(next, '\n');
  await kill(next, 'SIGTERM');
  expect(temporaryIn(join(folder(), take)).sort()).toEqual([...inUse, '.leeway-notes.tmp'].sort());
  expect(await readdir(join(folder(), 'notes'))).toEqual([leftover]);
  expect(await readFile(join(folder(), take, 'in-1 Keys.mid'))).toEqual(before);
  expectWhole('in-1 Keys.mid', before);
  expect((await readdir(folder())).filter((name) => name !== 'notes')).toHaveLength(2);

  await finish(other);
  expect([...(await readFile(join(folder(), take, 'retuned.mid')))]).toEqual([1, 2, 3]);
});

test('retune removes what a killed run left, though nothing is left to do', async () => {
  const out = join(folder(), 'out');
  await mkdir(out);
  await writeFile(join(out, 'choir-warm-up.mid'), OLD);
  const argv = toArgv`${PROGRAM} retune ${SONG} ${SONG.replace('choir-warm-up', 'trio-of-thirds')} -o ${out} --jobs 1`;
  const killed = start(argv, 200);
  await until('a file being written', () => temporaryIn(out).length > 0);
  await kill(killed);
  expect(temporaryIn(out)).toHaveLength(1);
  expect(await readFile(join(out, 'choir-warm-up.mid'), 'utf8')).toBe(OLD);
  await writeFile(join(out, 'trio-of-thirds.mid'), OLD);
  const later = Date.now() / 1000 + 60;
  for (const name of ['choir-warm-up.mid', 'trio-of-thirds.mid']) await utimes(join(out, name), later, later);

  const other = await startHolding(join(folder(), 'elsewhere.mid'));
  const [inUse] = temporaryIn(folder());
  const [leftover] = temporaryIn(out);
  await writeFile(join(out, inUse), 'of a process that runs');
  expect(leftover).toBeDefined();
  const next = start([...argv, '--resume']);
  expect((await once(next, 'close'))[0]).toBe(0);
  expect(temporaryIn(out)).toEqual([inUse]);
  expect(await readFile(join(out, 'choir-warm-up.mid'), 'utf8')).toBe(OLD);
  await finish(other);
});
