import { expect, test } from 'vitest';
import { CHECK_HELP } from '../../../src/cli/commands/check.js';
import { HELP } from '../../../src/cli/format/help.js';
import { LINE_WIDTH } from '../../../src/cli/format/wrap.js';
import { createProgram, loadCommand } from '../../../src/cli/program.js';
import { createWorld } from '../../support/run-cli.js';

const world = createWorld();
const program = createProgram(world, () => {});
for (const command of program.commands) await loadCommand(command, world, () => {});
const helps = { ...HELP, check: CHECK_HELP };
/** Commands of ours in an example, without pipes and where they lead. */
const toCommands = (line: string) =>
  line
    .split(/[|>]/)
    .map((part) => part.trim())
    .filter((part) => part.startsWith('leeway '));
const examples = Object.entries(helps).flatMap(([name, text]) =>
  text
    .slice(text.indexOf('Examples:'))
    .split('\n')
    .flatMap((line) => toCommands(line).map((command) => [name, command] as const)),
);

/** An example's words, as a shell would cut them. */
function toWords(command: string): string[] {
  return [...command.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain);
}

test('every command has its help, and every help its command', () => {
  const names = program.commands.map((command) => command.name());
  expect(Object.keys(helps).sort()).toEqual(names.sort());
});

test.each(examples)(
  'every example in the help is one that the program understands: %s: %s',
  (_name, text) => {
    const [, name, ...words] = toWords(text);
    const command = program.commands.find((one) => one.name() === name);
    expect(command).toBeDefined();
    const { unknown, operands } = command?.parseOptions(words) ?? { unknown: words, operands: [] };
    expect(unknown).toEqual([]);
    const args = command?.registeredArguments ?? [];
    expect(operands.length).toBeGreaterThanOrEqual(args.filter(({ required }) => required).length);
    if (!args.some(({ variadic }) => variadic)) expect(operands.length).toBeLessThanOrEqual(args.length);
  },
);

test.each(Object.entries(helps))(
  'the help of %s has examples, exit codes, and no line wider than the rest',
  (_name, text) => {
    expect(text).toMatch(/^Examples:$/m);
    expect(text).toMatch(/^Exit codes: /m);
    expect(text.split('\n').filter((line) => line.length > LINE_WIDTH)).toEqual([]);
  },
);
