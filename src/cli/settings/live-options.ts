import type { Command } from 'commander';
import { toLeewayError } from '../../app/problem-error.js';
import { INPUT, LIVE } from '../../core/settings/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import { overlay, toChoices } from './choices.js';
import {
  type LiveChoices,
  type LiveGathering,
  type NamedPort,
  toIdleRemarks,
  toLiveSettings,
} from './live-choices.js';
import { OptionReader, type RawOptions } from './option-reader.js';
import { readOptions } from './options.js';
import { findPortConflicts } from './port-conflicts.js';
import { readSettings, toErrors } from './settings-file.js';

/** Options that name ports; each may be given several times. */
const PORTS = [
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

/** Adds the options that say which ports are played, and which are played to. */
export function addPorts(command: Command, which: 'all' | 'outlets' = 'all'): Command {
  for (const { flag, help, of } of PORTS)
    if (which === 'all' || which === of) command.option(`${flag} <name>`, help, collect);
  return command;
}

/** The settings of a live session, or every mistake in them. */
export type GatheredLive =
  | ({ readonly ok: true } & LiveGathering)
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/**
 * The settings of a live session: options, over the settings file, over the defaults. Every mistake in both is told.
 * Throws a LeewayError if the file can't be read.
 * @param path of the settings file, if there is one
 */
export async function gatherLiveSettings(
  path: string | undefined,
  options: RawOptions,
): Promise<GatheredLive> {
  const file = await readSettings(path);
  const mistakes = toErrors(file);
  const given = readOptions(options, mistakes);
  const live = readLiveOptions(options, mistakes);
  if (!file.ok || mistakes.length > 0) return { ok: false, mistakes };

  const { settings: inFile } = file;
  const all = overlay(given, toChoices(inFile));
  const { settings, remarks } = toLiveSettings(inFile, live, given, all);
  // The file's own ports were checked where they stand; those of the options may clash with them or with each other.
  const conflicts = findPortConflicts(settings.inputs, settings.outlets);
  if (conflicts.length > 0) {
    const flagOf = (table: unknown) => (table === 'input' || live.outlets.length === 0 ? '--in' : '--out');
    return {
      ok: false,
      mistakes: conflicts.map((conflict) => toLeewayError(conflict, flagOf(conflict.keys[0]))),
    };
  }
  const idle = toIdleRemarks(settings, given, all, 'option');
  return { ok: true, settings, remarks: [...idle, ...remarks] };
}

function readLiveOptions(options: RawOptions, mistakes: LeewayError[]): LiveChoices {
  const reader = new OptionReader(options, mistakes);
  const ports: Record<'inputs' | 'outlets', NamedPort[]> = { inputs: [], outlets: [] };
  for (const { flag, of, virtual } of PORTS)
    for (const port of reader.many(flag, INPUT.port)) ports[of].push({ port, virtual });
  return { ...ports, take: reader.value('--take', LIVE.take) };
}

function collect(value: string, before: readonly string[] = []): readonly string[] {
  return [...before, value];
}
