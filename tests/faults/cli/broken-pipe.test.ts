import { execFile, spawn } from 'node:child_process';
import { copyFile, mkdir, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const PROGRAM = fileURLToPath(new URL('../../../bin/leeway.js', import.meta.url));
const PIECE = fileURLToPath(new URL('../../../configs/demo/choir-warm-up.mid', import.meta.url));
const folder = useTemporaryFolder();

/** Runs the program with a reader that is gone before it prints anything. */
function runAndLeave(args: readonly string[]): Promise<{ code: number | null; err: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [PROGRAM, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
    let err = '';
    child.stderr.on('data', (piece) => {
      err += piece;
    });
    child.stdout.destroy();
    child.on('close', (code) => resolve({ code, err }));
  });
}

test('a reader that goes away early does not keep files from being written', async () => {
  const input = join(folder(), 'in');
  await mkdir(input);
  const names = Array.from({ length: 30 }, (_, i) => `${i}.mid`);
  for (const name of names) await copyFile(PIECE, join(input, name));

  const { code, err } = await runAndLeave(['retune', input, '-o', join(folder(), 'out')]);

  expect(err).toBe('');
  expect(code).toBe(0);
  expect((await readdir(join(folder(), 'out'))).sort()).toEqual(names.sort());
});

test('a reader that goes away early ends an explanation silently', async () => {
  expect(await runAndLeave(['explain', PIECE, '--json'])).toEqual({ code: 0, err: '' });
});

test('the built program prints its version', async () => {
  const { stdout } = await promisify(execFile)(process.execPath, [PROGRAM, '--version']);
  expect(stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
});
