import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Command } from 'commander';
import { expect, test } from 'vitest';
import { addPorts, addSettings } from '../../../src/cli/settings/add-options.js';
import { type GatheredLive, gatherLiveSettings } from '../../../src/cli/settings/live-options.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();

/** What comes of a command line, and a settings file if one is given. */
async function gather(argv: string, file?: string): Promise<GatheredLive> {
  const path = file === undefined ? undefined : join(folder(), 's.toml');
  if (path !== undefined) writeFileSync(path, file ?? '');
  const command = addPorts(new Command('live')).exitOverride();
  for (const section of ['live', 'tuning', 'outlet'] as const) addSettings(command, section);
  command.parse(argv.split(' ').filter(Boolean), { from: 'user' });
  return gatherLiveSettings(path, command.opts());
}

async function toSettings(argv: string, file?: string) {
  const gathered = await gather(argv, file);
  if (!gathered.ok) throw gathered.mistakes[0];
  return gathered.settings;
}

async function toMistakes(argv: string, file?: string): Promise<string[]> {
  const gathered = await gather(argv, file);
  return gathered.ok ? [] : gathered.mistakes.map(({ message, code }) => `${message} [${code}]`);
}

test('the options of live give ports in the order of their kind, each as often as it is given', async () => {
  const { inputs, outlets, takeDirectory } = await toSettings(
    '--virtual-in V --in A --in B --out X --virtual-out W --take t',
  );
  expect(inputs.map(({ port, virtual }) => [port, virtual])).toEqual([
    ['A', false],
    ['B', false],
    ['V', true],
  ]);
  expect(outlets.map(({ port, virtual }) => [port, virtual])).toEqual([
    ['X', false],
    ['W', true],
  ]);
  expect(takeDirectory).toBe('t');
});

test('the options of live replace the settings file, and the file the defaults', async () => {
  const file =
    '[tuning]\nlimit = 7\nrate = 5\nrecall = 3\n[outlet]\nkind = "multichannel"\n[live]\nfuse = 900\n';
  const { tuner, outlets, fuse } = await toSettings(
    '--limit 3 --strategy pull --recall 4 --bend-range 12',
    file,
  );
  const { limit, strategy, rateCentsPerSecond, recallCents } = tuner;
  expect([limit, strategy, rateCentsPerSecond, recallCents]).toEqual([3, 'pull', 5, 4]);
  expect(outlets).toMatchObject([{ kind: 'multichannel', bendRange: 12 }]);
  expect(fuse).toBe(900);
});

test('the mistakes of the file and of every option of live are reported at once', async () => {
  const mistakes = await toMistakes('--limit 4 --in=', '[live]\nfuse = 1\n');
  expect(mistakes).toEqual([
    expect.stringMatching(/s\.toml:2:8: fuse: .*\[VALUE_RANGE\]$/),
    expect.stringMatching(/^--limit: .*\[VALUE_UNKNOWN\]$/),
    expect.stringMatching(/^--in: expected the name of a port.*\[VALUE_TEXT\]$/),
  ]);
});

test.each([
  ['--in A --in A', '--in: another input has the port "A" already'],
  ['--in A --virtual-in A', '--in: another input has the port "A" already'],
  ['--out A --out A', '--out: another outlet has the port "A" already'],
  ['--in A --virtual-out A', '--out: the port "A" would be both ours and another\'s'],
  ['--in Leeway', '--in: the port "Leeway" would be both ours and another\'s'],
])('port options of live that clash are one mistake: %s', async (argv, start) => {
  const mistakes = await toMistakes(argv);
  expect(mistakes).toHaveLength(1);
  expect(mistakes[0]).toContain(start);
  expect(mistakes[0]).toContain('[SETTINGS_CONFLICT]');
});

test.each([
  ['--rate 4', undefined, ['--rate has no effect with --strategy anchored; it is the speed of pull']],
  ['--bend-range 12 --outlet mts', undefined, [expect.stringMatching(/^--bend-range has no effect/)]],
  ['--bend-range 12', '[[outlet]]\nkind = "mts"\n[[outlet]]\nport = "B"\n', []],
  ['--in A', '[[action]]\nnote = 1\ninput = "Leeway"\ndo = "panic"\n', [expect.stringContaining('"Leeway"')]],
])('the options of live bring a remark on %s over %j', async (argv, file, remarks) => {
  expect(await gather(argv, file)).toMatchObject({ ok: true, remarks });
});

test('the options of live name a settings file that is missing', async () => {
  await expect(gatherLiveSettings(join(folder(), 'none.toml'), {})).rejects.toMatchObject({
    code: 'FILE_MISSING',
  });
});
