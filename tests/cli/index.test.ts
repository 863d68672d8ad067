import { execFile, spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { run } from '../../src/cli/index.js';
import { createWorld, runCli } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();
const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const PROGRAM = join(ROOT, 'bin', 'leeway.js');
const PIECE = join(ROOT, 'configs', 'demo', 'choir-warm-up.mid');

describe('help', () => {
  test.each([
    [['--help'], ['retune', 'explain', 'check', '--version']],
    [
      ['check', '--help'],
      ['--json', '[[action]]', '  release-hold', 'Examples:', 'Exit codes: 0 no mistakes'],
    ],
    [
      ['retune', '--help'],
      ['--leeway <cents>', '--strategy <how>', 'default: anchored', 'Examples:', 'Exit codes: 0 done'],
    ],
    [
      ['help', 'explain'],
      ['--from <bar>', '--json', 'Examples:'],
    ],
  ])('%j', async (argv, words) => {
    const { code, out, err } = await runCli(argv);
    expect([code, err]).toEqual([0, '']);
    for (const word of words) expect(out).toContain(word);
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
  });

  test('without a command it stands on standard error', async () => {
    const { code, out, err } = await runCli([]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('Usage: leeway');
  });

  test('--version is that of the package', async () => {
    const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
    expect(await runCli(['--version'])).toEqual({ code: 0, out: `${version}\n`, err: '' });
  });
});

test.each([
  [['retun', 'a.mid'], "leeway: Unknown command 'retun'. Did you mean retune? [USAGE]\n"],
  [
    ['retune', 'a.mid', '-o', 'b', '--strategie', 'x'],
    "leeway: Unknown option '--strategie'. Did you mean --strategy? [USAGE]\n",
  ],
  [['explain', 'a.mid', '--jsn'], "leeway: Unknown option '--jsn'. Did you mean --json? [USAGE]\n"],
  [
    ['explain'],
    "leeway: Missing required argument 'input'. leeway --help lists the commands, leeway help COMMAND its options. [USAGE]\n",
  ],
  [
    ['retune', 'a.mid'],
    "leeway: Required option '-o, --output <path>' not specified. leeway --help lists the commands, leeway help COMMAND its options. [USAGE]\n",
  ],
])('%j is a mistake', async (argv, err) => {
  expect(await runCli(argv)).toEqual({ code: 2, out: '', err });
});

describe('a fault of our own', () => {
  const runBroken = async (env: Record<string, string>) => {
    const stderr = new PassThrough();
    const stdout = Object.assign(new PassThrough(), {
      write: () => {
        throw new RangeError('out of tune');
      },
    });
    const code = await run(['explain', PIECE], { ...createWorld(), stdout, stderr, env });
    return { code, err: String(stderr.read()) };
  };

  test('ends with 70 and a message', async () => {
    const { code, err } = await runBroken({});
    expect(code).toBe(70);
    expect(err).toMatch(/^leeway: This is a fault of Leeway's own: out of tune\. .* \[BUG\]\n$/);
  });

  test('shows its stack where that is asked for', async () => {
    const { code, err } = await runBroken({ LEEWAY_DEBUG: '1' });
    expect(code).toBe(70);
    expect(err).toMatch(/\[BUG\]\nRangeError: out of tune\n {4}at /);
  });
});

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

  test('a mistake ends with 2', () => {
    const result = spawnSync(process.execPath, [PROGRAM, 'explain', 'nowhere.mid'], { encoding: 'utf8' });
    expect([result.status, result.stdout]).toEqual([2, '']);
    expect(result.stderr).toContain('[FILE_MISSING]');
  });

  test('a reader that goes away early ends it quietly', async () => {
    const child = execFile(process.execPath, [PROGRAM, 'explain', PIECE, '--json'], { maxBuffer: 2 ** 30 });
    let said = '';
    child.stderr?.on('data', (text) => {
      said += text;
    });
    child.stdout?.destroy();
    const code = await new Promise((done) => child.on('close', done));
    expect([code, said]).toEqual([0, '']);
  });

  test('without the built files it says what to do', () => {
    mkdirSync(join(folder(), 'bin'));
    const alone = join(folder(), 'bin', 'leeway.mjs');
    copyFileSync(PROGRAM, alone);
    const result = spawnSync(process.execPath, [alone], { encoding: 'utf8' });
    expect(result.status).toBe(2);
    expect(result.stderr).toContain('Run npm ci in its folder. [NOT_BUILT]');
  });
});
