import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { expect, test } from 'vitest';

const LOADER = new URL('../support/typescript-loader.mjs', import.meta.url).href;
const WATCHDOG = new URL('watchdog.ts', import.meta.url).href;

test('the watchdog names a case that never ends, and ends the process', async () => {
  const script = `
    const { Watchdog } = await import(${JSON.stringify(WATCHDOG)});
    const dog = new Watchdog('rings', 7, 200);
    await new Promise((started) => setTimeout(started, 300));
    dog.begin(41, Uint8Array.of(0xca, 0xfe));
    for (;;);
  `;
  const child = spawn(process.execPath, ['--import', LOADER, '--input-type=module', '-e', script]);
  let said = '';
  child.stderr.on('data', (piece) => {
    said += piece;
  });
  const [, signal] = await once(child, 'close');
  expect(said).toContain('Case 41 of rings with seed 7 never ends.');
  expect(said).toContain('--only rings --input cafe');
  expect(signal).toBe('SIGKILL');
});
