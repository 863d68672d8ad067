import { toLeewayError } from '../../app/problem-error.js';
import { INPUT, LIVE } from '../../core/settings/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import { PORTS } from './add-options.js';
import { overlay, toChoices } from './choices.js';
import { readLiveSettings, readOptions, toErrors } from './gather-choices.js';
import {
  type LiveChoices,
  type LiveGathering,
  type NamedPort,
  toIdleRemarks,
  toLiveSettings,
} from './live-choices.js';
import { OptionReader, type RawOptions } from './option-reader.js';
import { findPortConflicts, toWantedOutput } from './port-conflicts.js';

/** The settings of a live session, or every mistake in them. */
export type GatheredLive =
  | ({ readonly ok: true; readonly presetPaths: readonly string[] } & LiveGathering)
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/**
 * The settings of a live session: options, over the settings file, over the defaults. Reports every mistake in both.
 * Throws a LeewayError if the file can't be read.
 * @param path of the settings file, if there is one
 */
export async function gatherLiveSettings(
  path: string | undefined,
  options: RawOptions,
): Promise<GatheredLive> {
  const file = await readLiveSettings(path);
  const mistakes = toErrors(file);
  const given = readOptions(options, mistakes);
  const live = readLiveOptions(options, mistakes);
  if (!file.ok || mistakes.length > 0) return { ok: false, mistakes };

  const { settings: inFile } = file;
  const all = overlay(given, toChoices(inFile));
  const { settings, remarks } = toLiveSettings(inFile, live, given, all, file.presets);
  // The file's ports were checked in the file; those of the options may conflict with them or with each other.
  const { inputs, splits, outlets, lamps } = settings;
  const names = splits.map(({ name }) => name);
  const conflicts = findPortConflicts(inputs, names, outlets.map(toWantedOutput), lamps);
  if (conflicts.length > 0) {
    // A lamp of the file conflicts with the port of an option, be it either.
    const flagOf = (table: unknown) => (table === 'input' || live.outlets.length === 0 ? '--in' : '--out');
    return {
      ok: false,
      mistakes: conflicts.map((conflict) => toLeewayError(conflict, flagOf(conflict.keys[0]))),
    };
  }
  const idle = toIdleRemarks(settings, given, all, 'option');
  const presetPaths = file.presets.map((preset) => preset.path);
  return { ok: true, settings, presetPaths, remarks: [...idle, ...remarks] };
}

function readLiveOptions(options: RawOptions, mistakes: LeewayError[]): LiveChoices {
  const reader = new OptionReader(options, mistakes);
  const ports: Record<'inputs' | 'outlets', NamedPort[]> = { inputs: [], outlets: [] };
  for (const { flag, of, virtual } of PORTS)
    for (const port of reader.many(flag, INPUT.port)) ports[of].push({ port, virtual });
  return { ...ports, take: reader.value('--take', LIVE.take) };
}
