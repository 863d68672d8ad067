import { execFile, spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();
const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const PROGRAM = join(ROOT, 'bin', 'leeway.js');
const PIECE = join(ROOT, 'configs', 'demo', 'choir-warm-up.mid');

describe('the program itself', () => {
  test('retunes a demo piece and ends with 0', () => {
    const output = join(folder(), 'out.mid');
    const result = spawnSync(process.execPath, [PROGRAM, 'retune', PIECE, '-o', output], {
      encoding: 'utf8',
    });
    expect([result.status, result.stderr]).toEqual([0, '']);
    expect(result.stdout).toContain('120 notes in 4 parts');
    expect(readFileSync(output).subarray(0, 4).toString()).toBe('MThd');
  });

  test('reads standard input and writes standard output', () => {
    const result = spawnSync(process.execPath, [PROGRAM, 'retune', '-', '-o', '-'], {
      input: readFileSync(PIECE),
    });
    expect(result.status).toBe(0);
    expect(result.stdout.subarray(0, 4).toString()).toBe('MThd');
    expect(result.stderr.toString()).toContain('standard input → standard output');
  });

  test('ends with 2 at a mistake', () => {
    const result = spawnSync(process.execPath, [PROGRAM, 'explain', 'nowhere.mid'], { encoding: 'utf8' });
    expect([result.status, result.stdout]).toEqual([2, '']);
    expect(result.stderr).toContain('[FILE_MISSING]');
  });

  test('ends quietly when its reader goes away early', async () => {
    const child = execFile(process.execPath, [PROGRAM, 'explain', PIECE, '--json'], { maxBuffer: 2 ** 30 });
    let said = '';
    child.stderr?.on('data', (text) => {
      said += text;
    });
    child.stdout?.destroy();
    const code = await new Promise((done) => child.on('close', done));
    expect([code, said]).toEqual([0, '']);
  });

  test('says what to do without the built files', () => {
    mkdirSync(join(folder(), 'bin'));
    const alone = join(folder(), 'bin', 'leeway.mjs');
    copyFileSync(PROGRAM, alone);
    const result = spawnSync(process.execPath, [alone], { encoding: 'utf8' });
    expect(result.status).toBe(2);
    expect(result.stderr).toContain('Run npm ci in its folder. [NOT_BUILT]');
  });
});
