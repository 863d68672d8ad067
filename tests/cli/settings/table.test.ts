import type { Command } from 'commander';
import { describe, expect, test } from 'vitest';
import { CHECK_HELP } from '../../../src/cli/commands/check.js';
import { createProgram, loadCommand } from '../../../src/cli/program.js';
import { formatSettingsHelp } from '../../../src/cli/settings/describe.js';
import { readDocument } from '../../../src/cli/settings/read-document.js';
import { SECTIONS, type Setting } from '../../../src/core/settings/index.js';
import { createWorld } from '../../support/run-cli.js';

const rows = Object.entries(SECTIONS).flatMap(([section, { settings }]) =>
  Object.entries(settings).map(([key, setting]): [string, string, Setting] => [section, key, setting]),
);
const program = createProgram(createWorld(), () => {});
for (const command of program.commands) await loadCommand(command, createWorld(), () => {});
const isTakenBy = (command: Command, flag: string) => command.options.some(({ long }) => long === flag);

describe.each(rows)('the setting [%s] %s', (section, key, setting) => {
  test('is a known key of the settings file, whose wrong value is a mistake', () => {
    const value = { [section]: { [key]: { wrong: true } } };
    expect(readDocument(value).mistakes.map(({ problem }) => problem.message)).toEqual([
      expect.stringMatching(new RegExp(`^${key}: `)),
    ]);
  });

  test('is in the help of the settings file, and so in that of check', () => {
    const help = formatSettingsHelp().join(' ').replaceAll(/\s+/g, ' ');
    expect(help).toContain(`${key} ${setting.does}`);
    expect(CHECK_HELP).toContain(`\n  ${key} `);
  });

  test('is an option of just the commands it names', () => {
    const { option } = setting;
    if (option === undefined) return;
    const flag = `--${option.name ?? key}`;
    const commands = program.commands.filter((command) => isTakenBy(command, flag));
    // `render` and `pump` have a --rate and a --tonic that are something else.
    const others = commands.map((command) => command.name()).filter((name) => !/^(render|pump)$/.test(name));
    expect(others.sort()).toEqual([...option.of].sort());
    for (const command of commands.filter((one) => others.includes(one.name()))) {
      const help = command.helpInformation().replaceAll(/\s+/g, ' ');
      expect(help).toContain(setting.does);
    }
  });

  test('says what it does in one sentence of at most 25 words', () => {
    expect(setting.does.split(' ').length).toBeLessThanOrEqual(25);
    expect(setting.does).not.toMatch(/[.;]/);
  });
});
