import { dirname, isAbsolute, join } from 'node:path';
import { findPlaces, type TextPosition } from '../../app/toml-places.js';
import { readInput } from '../../io/files/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import type { Settings } from './read-document.js';
import { type ParsedSettings, type PlacedMistake, parseSettings } from './settings-file.js';
import { toPresetName } from './surface-conflicts.js';

/** The tuning of a preset, as far as its file gives it. */
export interface PresetTable {
  readonly name: string;
  /** Its file, as seen from where the program runs. */
  readonly path: string;
  readonly tuning: NonNullable<Settings['tuning']>;
}

/** The presets of a settings file, or every mistake in them. */
export type ReadPresets =
  | { readonly ok: true; readonly presets: readonly PresetTable[] }
  | { readonly ok: false; readonly mistakes: readonly PlacedMistake[] };

/**
 * Reads the presets that the actions of a settings file load: of each file its [tuning] alone. A mistake has its place in
 * the preset; that of a file that can't be read, in the settings file.
 *
 * @param settings without mistakes
 * @param bytes    the settings file they were read from
 * @param path     of the settings file: presets are sought from its folder
 */
export async function readPresets(settings: Settings, bytes: Uint8Array, path: string): Promise<ReadPresets> {
  const presets = new Map<string, PresetTable>();
  const mistakes: PlacedMistake[] = [];
  for (const [i, { preset }] of (settings.action ?? []).entries()) {
    if (preset === undefined || presets.has(toPresetName(preset))) continue;
    const file = isAbsolute(preset) ? preset : join(dirname(path), preset);
    const read = await readPreset(file, () => findPreset(bytes, i), path);
    if (!read.ok) mistakes.push(...read.mistakes);
    const tuning = read.ok ? (read.settings.tuning ?? {}) : {};
    presets.set(toPresetName(preset), { name: toPresetName(preset), path: file, tuning });
  }
  return mistakes.length > 0 ? { ok: false, mistakes } : { ok: true, presets: [...presets.values()] };
}

async function readPreset(
  file: string,
  findPlace: () => TextPosition,
  path: string,
): Promise<ParsedSettings> {
  let bytes: Uint8Array;
  try {
    bytes = await readInput(file);
  } catch (error) {
    if (!(error instanceof LeewayError)) throw error;
    const place = findPlace();
    const { code, advice } = error;
    const message = `${path}:${place.line}:${place.column}: preset: ${error.message}`;
    return { ok: false, mistakes: [{ path, place, error: new LeewayError({ code, message, advice }) }] };
  }
  const parsed = parseSettings(bytes, file, 'tuning');
  if (!parsed.ok || parsed.settings.tuning !== undefined) return parsed;
  const error = new LeewayError({
    code: 'SETTINGS_MISSING',
    message: `${file}:1:1: A preset needs [tuning], and there is none here.`,
    advice: 'Add [tuning] with what is other than in the settings file that loads it.',
  });
  return { ok: false, mistakes: [{ path: file, place: { line: 1, column: 1 }, error }] };
}

/** The place of a preset's path; a single table in single brackets has no index. */
function findPreset(bytes: Uint8Array, index: number): TextPosition {
  const find = findPlaces(new TextDecoder().decode(bytes));
  const found = find(['action', index, 'preset']) ?? find(['action', 'preset']);
  return found?.value ?? { line: 1, column: 1 };
}
