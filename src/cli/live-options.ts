import type { Command } from 'commander';
import { toLeewayError } from '../app/problem-error.js';
import type { LeewayError } from '../io/leeway-error.js';
import { readOptions, readSettings, toErrors } from './choice-options.js';
import { overlay } from './choices.js';
import {
  type LiveChoices,
  type LiveGathering,
  type NamedPort,
  toIdleRemarks,
  toLiveSettings,
} from './live-choices.js';
import { OptionReader, type RawOptions } from './option-reader.js';
import { findPortConflicts } from './port-conflicts.js';
import { readPort, readText } from './read-port-values.js';
import type { Reader } from './read-values.js';
import { toChoices } from './settings-file.js';

interface LiveOption {
  readonly flags: string;
  readonly help: string;
}

/** Options that name ports; each may be given several times. */
const PORTS: readonly (LiveOption & { readonly of: 'inputs' | 'outlets'; readonly virtual: boolean })[] = [
  {
    flags: '--in <name>',
    of: 'inputs',
    virtual: false,
    help: 'a port to be played from, by its name; may be given several times; default: our own, Leeway',
  },
  {
    flags: '--out <name>',
    of: 'outlets',
    virtual: false,
    help: 'a port to play to, by its name; may be given several times; default: our own, Leeway',
  },
  {
    flags: '--virtual-in <name>',
    of: 'inputs',
    virtual: true,
    help: 'make a port of this name for other programs to play to; may be given several times',
  },
  {
    flags: '--virtual-out <name>',
    of: 'outlets',
    virtual: true,
    help: 'make a port of this name for other programs to hear; may be given several times',
  },
];

const TAKE: LiveOption & { readonly read: Reader<string> } = {
  flags: '--take <folder>',
  read: readText('the path of a folder'),
  help: 'record what is played, and what goes out, into this folder',
};

/** Adds the options that say which ports are played. */
export function addPortOptions(command: Command): Command {
  for (const { flags, help } of PORTS) command.option(flags, help, collect);
  return command;
}

/** Adds the options that say which ports are played to. */
export function addOutputOptions(command: Command): Command {
  for (const { flags, help, of } of PORTS) if (of === 'outlets') command.option(flags, help, collect);
  return command;
}

/** Adds the options that say which ports are played, and where it is recorded. */
export function addLiveOptions(command: Command): Command {
  return addPortOptions(command).option(TAKE.flags, TAKE.help);
}

/** The settings of a live session, or every mistake in them. */
export type GatheredLive =
  | ({ readonly ok: true } & LiveGathering)
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/**
 * The settings of a live session: options, over the settings file, over stock. Every mistake in both is told.
 * Throws a LeewayError if the file can't be read.
 * @param path of the settings file, if there is one
 */
export async function gatherLiveSettings(
  path: string | undefined,
  options: RawOptions,
): Promise<GatheredLive> {
  const file = await readSettings(path);
  const line = readOptions(options);
  const mistakes: LeewayError[] = [];
  const live = readLiveOptions(options, mistakes);
  if (!file.ok || !line.ok || mistakes.length > 0)
    return { ok: false, mistakes: [...toErrors(file), ...(line.ok ? [] : line.mistakes), ...mistakes] };

  const { settings: inFile } = file;
  const all = overlay(line.choices, toChoices(inFile));
  const { settings, remarks } = toLiveSettings(inFile, live, line.choices, all);
  // The file's own ports were checked where they stand; those of the options may clash with them or with each other.
  const conflicts = findPortConflicts(settings.inputs, settings.outlets);
  if (conflicts.length > 0) {
    const flagOf = (table: unknown) => (table === 'input' || live.outlets.length === 0 ? '--in' : '--out');
    return {
      ok: false,
      mistakes: conflicts.map((conflict) => toLeewayError(conflict, flagOf(conflict.keys[0]))),
    };
  }
  const idle = toIdleRemarks(settings, line.choices, all, 'option');
  return { ok: true, settings, remarks: [...idle, ...remarks] };
}

function readLiveOptions(options: RawOptions, mistakes: LeewayError[]): LiveChoices {
  const reader = new OptionReader(options, mistakes);
  const ports: Record<'inputs' | 'outlets', NamedPort[]> = { inputs: [], outlets: [] };
  for (const { flags, of, virtual } of PORTS)
    for (const port of reader.many(toFlag(flags), readPort)) ports[of].push({ port, virtual });
  return { ...ports, take: reader.take(toFlag(TAKE.flags), TAKE.read, undefined) };
}

/** @example toFlag('--in <name>')  // '--in' */
function toFlag(flags: string): string {
  return flags.split(' ')[0];
}

function collect(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value];
}
