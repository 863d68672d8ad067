import { type Command, Option } from 'commander';
import { SETTINGS, type SettingsCommand, type Table } from '../../core/settings/index.js';
import { toFlag } from './choices.js';
import { type CommandOption, OPTIONS } from './command-options.js';
import { describeOption, describeSetting } from './describe.js';
import { ROLE_OPTION } from './track-roles.js';

/** Options that name ports; each may be given several times. */
export const PORTS = [
  {
    flag: '--in',
    of: 'inputs',
    virtual: false,
    help: 'a port to be played from, by its name; may be given several times; default: our own, Leeway',
  },
  {
    flag: '--out',
    of: 'outlets',
    virtual: false,
    help: 'a port to play to, by its name; may be given several times; default: our own, Leeway',
  },
  {
    flag: '--virtual-in',
    of: 'inputs',
    virtual: true,
    help: 'make a port of this name for other programs to play to; may be given several times',
  },
  {
    flag: '--virtual-out',
    of: 'outlets',
    virtual: true,
    help: 'make a port of this name for other programs to hear; may be given several times',
  },
] as const;

/** Adds the options for the ports to play from and to. */
export function addPorts(command: Command, which: 'all' | 'outlets' = 'all'): Command {
  for (const { flag, help, of } of PORTS)
    if (which === 'all' || which === of) command.option(`${flag} <name>`, help, collect);
  return command;
}

/** An option with a value that is no setting, with its help. @example toOption('jobs').flags  // '--jobs <number>' */
export function toOption(name: keyof typeof OPTIONS): Option {
  const option: CommandOption = OPTIONS[name];
  return new Option(option.flags, describeOption(option));
}

/** Adds the settings of a section that are options of the command. */
export function addSettings(command: Command, section: 'tuning' | 'outlet' | 'live'): Command {
  for (const [key, setting] of Object.entries<Table[string]>(SETTINGS[section])) {
    const { option } = setting;
    if (!option?.of.includes(command.name() as SettingsCommand)) continue;
    const flags = `${toFlag(section, key)} <${option.value}>`;
    command.option(flags, describeSetting(section, key, setting, 'option'));
  }
  return command;
}

/** Adds the option for the roles of tracks. */
export function addRoles(command: Command): Command {
  return command.option(ROLE_OPTION.flags, ROLE_OPTION.help, collect);
}

/** Adds the option of a settings file. */
export function addSettingsFile(command: Command): Command {
  return command.option('--settings <file>', 'a TOML file with settings; an option given here wins over it');
}

/** Adds the options of the page. @param isAlways the command always has a page */
export function addPageOptions(command: Command, isAlways = false): Command {
  if (!isAlways) command.option('--page', 'serve the page: see the drift, play and listen in a browser');
  return command
    .addOption(toOption('listen'))
    .addOption(toOption('story'))
    .option('--new-token', 'make another token: addresses printed before can only look on')
    .option('--port <number>', 'serve the page at this port; default: 8180, or the next that is free')
    .addOption(toOption('relay'));
}

function collect(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value];
}
