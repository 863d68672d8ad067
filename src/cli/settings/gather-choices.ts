import { toLeewayError } from '../../app/problem-error.js';
import type { TrackRole } from '../../app/track-roles.js';
import { SETTINGS, type Table } from '../../core/settings/index.js';
import { readInput } from '../../io/files/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import { type Choices, overlay, toChoices, toFlag } from './choices.js';
import { findMisplaced } from './misplaced.js';
import { OptionReader, type RawOptions } from './option-reader.js';
import type { PresetTable } from './presets.js';
import type { Settings } from './read-document.js';
import type { ParsedSettings } from './settings-file.js';
import { readRole, toTrackRole } from './track-roles.js';

/** A user's choices, and those from the command line. */
export type Gathered =
  | {
      readonly ok: true;
      readonly given: Choices;
      readonly all: Choices;
      /** What becomes of the tracks of a file: those of the command line come first. */
      readonly roles: readonly TrackRole[];
      /** How many outlets the settings file has; only the first is among the choices. */
      readonly outletCount: number;
    }
  | { readonly ok: false; readonly mistakes: readonly LeewayError[] };

/** A settings file and its presets, or every mistake in the first of them that has one. */
export type ReadLive =
  | { readonly ok: true; readonly settings: Settings; readonly presets: readonly PresetTable[] }
  | Extract<ParsedSettings, { ok: false }>;

/**
 * A settings file, or an empty one if there is none. Throws a LeewayError if it can't be read. The parser is loaded
 * only when needed.
 */
export async function readSettings(path: string | undefined): Promise<ParsedSettings> {
  if (path === undefined) return { ok: true, settings: {} };
  const { parseSettings } = await import('./settings-file.js');
  return parseSettings(await readInput(path), path);
}

/** As {@link readSettings}, with the presets that its actions load. */
export async function readLiveSettings(path: string | undefined): Promise<ReadLive> {
  if (path === undefined) return { ok: true, settings: {}, presets: [] };
  const { parseSettings } = await import('./settings-file.js');
  const bytes = await readInput(path);
  const file = parseSettings(bytes, path);
  if (!file.ok) return file;
  const { readPresets } = await import('./presets.js');
  const presets = await readPresets(file.settings, bytes, path);
  return presets.ok ? { ...file, ...presets } : presets;
}

/** The mistakes of a settings file, without their places. */
export function toErrors(file: ParsedSettings | ReadLive): LeewayError[] {
  return file.ok ? [] : file.mistakes.map(({ error }) => error);
}

/**
 * The choices for one run: options, over the settings file. Reports every mistake in both. Throws a LeewayError if the
 * file can't be read.
 */
export async function gatherChoices(options: RawOptions): Promise<Gathered> {
  const { settings } = options;
  const file = await readSettings(typeof settings === 'string' ? settings : undefined);
  const mistakes = toErrors(file);
  const given = readOptions(options, mistakes);
  const roles = readRoles(options, mistakes);
  if (!file.ok || mistakes.length > 0) return { ok: false, mistakes };
  const all = overlay(given, toChoices(file.settings));
  mistakes.push(...findPlanless(given.tuning, all.tuning));
  if (mistakes.length > 0) return { ok: false, mistakes };
  roles.push(...(file.settings.track ?? []).map(toTrackRole));
  return { ok: true, given, all, roles, outletCount: file.settings.outlet?.length ?? 0 };
}

/** The settings among the options. @param mistakes receives the mistakes */
export function readOptions(options: RawOptions, mistakes: LeewayError[]): Choices {
  const reader = new OptionReader(options, mistakes);
  const read = (section: 'tuning' | 'outlet') =>
    Object.fromEntries(
      Object.entries<Table[string]>(SETTINGS[section])
        .filter(([, { option }]) => option !== undefined)
        .map(([key, setting]) => [key, reader.value(toFlag(section, key), setting)])
        .filter(([, value]) => value !== undefined),
    );
  return { tuning: read('tuning'), outlet: read('outlet') };
}

/** The roles among the options. @param mistakes receives the mistakes */
function readRoles({ role = [] }: RawOptions, mistakes: LeewayError[]): TrackRole[] {
  return (role as readonly string[]).flatMap((text) => {
    const outcome = readRole(text);
    if (outcome.ok) return outcome.value;
    mistakes.push(toLeewayError(outcome.problem, '--role'));
    return [];
  });
}

/** Options of a plan without a plan: they need the end of the piece. */
function findPlanless(given: Choices['tuning'], { plan }: Choices['tuning']): LeewayError[] {
  const live = given.plan === 'live' ? '--plan is live' : 'the settings have plan = "live"';
  return findMisplaced(SETTINGS.tuning, given, plan).map(
    ({ key }) =>
      new LeewayError({
        code: 'SETTINGS_CONFLICT',
        message: `--${key} is for a planned piece, and ${live}.`,
        advice: `Leave --${key} out, or give --plan whole.`,
      }),
  );
}
