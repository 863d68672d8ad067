import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { run } from '../../src/cli/index.js';
import { ERROR_CODES } from '../../src/core/error-codes.js';
import { createWorld, runCli } from '../support/run-cli.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
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
    [
      ['help', 'settings'],
      ['[tuning]: how notes are tuned', '  release-hold', '[[action]]', 'default: "anchored"'],
    ],
    [
      ['help', 'errors'],
      [
        'PORT_BUSY\n  means  a MIDI port is in use by another program\n  do     close the other program',
        ...Object.keys(ERROR_CODES).map((code) => `\n${code}\n  means  `),
      ],
    ],
    [['help'], ['leeway help settings lists', 'leeway help errors']],
  ])('is printed by leeway %j', async (argv, words) => {
    const { code, out, err } = await runCli(argv);
    expect([code, err]).toEqual([0, '']);
    for (const word of words) expect(out).toContain(word);
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(100);
  });

  test('is written to standard error without a command', async () => {
    const { code, out, err } = await runCli([]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain('Usage: leeway');
  });

  test('is not printed by --version, which prints that of the package', async () => {
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
])('leeway %j is refused as a mistake', async (argv, err) => {
  expect(await runCli(argv)).toEqual({ code: 2, out: '', err });
});

describe('an internal error of the program', () => {
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
