import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, mkdirSync, rmSync, statSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { readCommandBlocks } from '../support/readme-commands.js';
import { until } from '../support/until.js';

/**
 * Somebody who has just got Leeway, with Node and a shell and nothing else: no MIDI, no browser, no sound, none of their
 * own settings. Every command of the README is run as it is printed, in its order, in one folder, but for those named here.
 */
const NOT_RUN: readonly { readonly words: string; readonly why: string }[] = [
  { words: 'npm ci && npm test', why: 'is a suite of its own' },
  { words: 'sudo nginx', why: 'needs nginx, and is tested in tests/faults/io/server' },
];
/** Installing is done already; what follows it is run. */
const INSTALL = /^npm ci( && |$)/;
/** They go on until they are stopped. */
const GOES_ON = /leeway\.js (demo|live|tone)\b/;
/** What they say once they run. */
const RUNS = 'Ready to play.';
const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const folder = join(tmpdir(), `leeway-newcomer-${process.pid}`);
const blocks = readCommandBlocks(new URL('../../README.md', import.meta.url));

beforeAll(() => {
  mkdirSync(join(folder, 'path'), { recursive: true });
  for (const name of ['bin', 'dist', 'configs', 'package.json'])
    cpSync(join(ROOT, name), join(folder, name), { recursive: true });
  symlinkSync(join(ROOT, 'node_modules'), join(folder, 'node_modules'), 'dir');
  symlinkSync(process.execPath, join(folder, 'path', 'node'));
});
afterAll(() => rmSync(folder, { recursive: true }));

function start(command: string): { child: ChildProcess; out: () => string; ended: Promise<number | null> } {
  let text = '';
  const child = spawn('/bin/sh', ['-c', `exec ${command}`], {
    cwd: folder,
    env: { PATH: join(folder, 'path'), HOME: folder },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  for (const stream of [child.stdout, child.stderr])
    stream?.on('data', (chunk) => {
      text += String(chunk);
    });
  const ended = new Promise<number | null>((resolve) => child.on('close', (code) => resolve(code)));
  return { child, out: () => text, ended };
}

/** Starts one that goes on, and stops it once it runs. Without MIDI it says what is missing, and ends with 3. */
async function startAndStop(command: string): Promise<void> {
  const { child, out, ended } = start(command);
  let code: number | null | undefined;
  void ended.then((its) => {
    code = its;
  });
  await until(`"${RUNS}", or its end`, () => out().includes(RUNS) || code !== undefined, 60_000);
  if (code === undefined) {
    if (command.includes(' demo')) expect(out()).toMatch(/The page: http:\/\/127\.0\.0\.1:\d+\/#token=/);
    child.kill('SIGTERM');
    expect(await ended).toBe(0);
  } else {
    expect(code).toBe(3);
    expect(out()).toMatch(/MIDI/);
  }
}

/** What is to be there afterwards. */
function toOutputs(command: string): string[] {
  return [...command.matchAll(/(?:-o|--sheet|--report) (\S+)/g)].map(([, path]) => path);
}

describe('every command of the README', () => {
  test('are more than fifteen', () => {
    expect(blocks.flatMap(({ commands }) => commands).length).toBeGreaterThan(15);
  });

  test('is run, or is in the list of those not run', () => {
    const commands = blocks.flatMap((block) => block.commands);
    for (const { words } of NOT_RUN)
      expect(commands.filter((command) => command.startsWith(words))).not.toEqual([]);
  });

  for (const { commands, shown } of blocks) {
    let printed = '';
    for (const whole of commands) {
      const reason = NOT_RUN.find(({ words }) => whole.startsWith(words));
      if (reason !== undefined) continue;
      const command = whole.replace(INSTALL, '');
      if (command === '') continue;
      test(command, async () => {
        if (GOES_ON.test(command)) {
          await startAndStop(command);
          return;
        }
        const { out, ended } = start(command);
        const code = await ended;
        printed += out();
        if (/leeway\.js ports\b/.test(command)) expect([0, 3]).toContain(code);
        else expect({ code, out: out() }).toEqual({ code: 0, out: out() });
        for (const path of toOutputs(command)) expect(statSync(join(folder, path)).size).toBeGreaterThan(0);
      });
    }
    if (shown.length > 0)
      test(`prints what is shown below ${commands[0]}`, () => {
        const lines = printed.split('\n').map((line) => line.trim());
        for (const line of shown.map((its) => its.trim()).filter((its) => its !== '…'))
          expect(lines).toContain(line);
      });
  }
});
