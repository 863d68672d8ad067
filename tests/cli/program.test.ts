import { spawnSync } from 'node:child_process';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Help } from 'commander';
import { describe, expect, test } from 'vitest';
import { createProgram, loadCommand } from '../../src/cli/program.js';
import { createWorld } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();
const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const LISTS_MODULES = new URL('../support/loaded-modules.mjs', import.meta.url).href;
const PIECE = join(ROOT, 'configs', 'demo', 'choir-warm-up.mid');
/** What every start loads. */
const START = ['leeway.js', 'start.js', 'rolldown-runtime.js'];

/** The modules that the built program loads, as URLs, without those of Node. */
function listLoaded(argv: readonly string[]): string[] {
  const program = join(ROOT, 'bin', 'leeway.js');
  const { output } = spawnSync(process.execPath, ['--import', LISTS_MODULES, program, ...argv], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe', 'pipe'],
  });
  const urls = (output[3] ?? '').split('\n').filter((url) => url.startsWith('file:'));
  expect(urls.length).toBeGreaterThan(1);
  return urls;
}

const toNames = (urls: readonly string[]) => urls.map((url) => basename(url));

test('the list of commands shows the arguments of each as the command has them', async () => {
  const world = createWorld();
  const program = createProgram(world, () => {});
  const listed = program.commands.map((command) => program.createHelp().subcommandTerm(command));
  for (const command of program.commands) await loadCommand(command, world, () => {});
  expect(listed).toEqual(program.commands.map((command) => new Help().subcommandTerm(command)));
});

describe('the built program loads what it needs', () => {
  test.each([[['-V']], [['help']], [['--help']], [['retun']], [['--nonsense']]])(
    '%j loads no command',
    (argv) => expect(toNames(listLoaded(argv)).filter((name) => !START.includes(name))).toEqual([]),
  );

  test.each([[['help', 'retune']], [['retune', '--help']], [['retune', '--nonsense']]])(
    '%j loads the options of the command, not what it does',
    (argv) => {
      const names = toNames(listLoaded(argv));
      expect(names).toContain('retune.js');
      expect(names.filter((name) => name.endsWith('-command.js'))).toEqual([]);
    },
  );

  test('retune loads itself alone, and no package', () => {
    const loaded = listLoaded(['retune', PIECE, '-o', join(folder(), 'out.mid')]);
    expect(toNames(loaded).filter((name) => name.endsWith('-command.js'))).toEqual(['retune-command.js']);
    expect(loaded.filter((url) => url.includes('/node_modules/'))).toEqual([]);
  });
});
