import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { until } from '../../support/until.js';

const ROOT = fileURLToPath(new URL('../../..', import.meta.url));
let left: number | undefined;

afterAll(() => {
  // Whatever the test came to, nothing plays on.
  if (left !== undefined && isAlive(left)) process.kill(left, 'SIGKILL');
});

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch {
    return false;
  }
}

test.skipIf(process.platform === 'win32')(
  'a program started by npm ends when npm ends, and nothing plays on',
  async () => {
    // As npm does: a shell that stays, with the name of the script in its environment.
    const shell = spawn('/bin/sh', ['-c', 'node bin/leeway.js live --page & echo pid $!; wait'], {
      cwd: ROOT,
      env: { ...process.env, npm_lifecycle_event: 'start' },
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    let text = '';
    shell.stdout.on('data', (chunk) => {
      text += String(chunk);
    });
    await until('"Ready to play."', () => text.includes('Ready to play.'), 60_000);
    left = Number(/pid (\d+)/.exec(text)?.[1]);
    expect(isAlive(left)).toBe(true);
    shell.kill('SIGTERM');
    await until('its end', () => !isAlive(Number(left)), 30_000);
    expect(text).toContain('Ready to play.');
  },
);
