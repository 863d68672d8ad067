import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const PROGRAM = join(ROOT, 'bin', 'leeway.js');
const PIECE = join(ROOT, 'configs', 'demo', 'choir-warm-up.mid');

/** Runs the built program where a method of standard output is broken. */
function runBroken(method: 'on' | 'write'): string {
  const breaks = `process.stdout.${method} = () => { throw new RangeError('out of tune'); };`;
  return spawnSync(
    process.execPath,
    ['--import', `data:text/javascript,${encodeURIComponent(breaks)}`, PROGRAM, 'explain', PIECE],
    { encoding: 'utf8', env: { ...process.env, LEEWAY_DEBUG: '1' } },
  ).stderr;
}

test('the stack of an internal error names the sources and their lines', () => {
  const said = runBroken('write');
  expect(said).toContain('[BUG]\nRangeError: out of tune\n');
  expect(said).toMatch(/^ {4}at say \(src\/cli\/say\.ts:\d+:\d+\)$/m);
  expect(said).toMatch(/^ {4}at runExplain \(src\/cli\/explain-command\.ts:\d+:\d+\)$/m);
  expect(said).not.toContain('dist/program');
});

test('the stack of an uncaught error names the sources and their lines', () => {
  expect(runBroken('on')).toMatch(/^ {4}at main \(src\/cli\/index\.ts:\d+:\d+\)$/m);
});
