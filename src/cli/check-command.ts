import { toHeadroomJson } from '../app/live/headroom.js';
import { toLiveJson } from '../app/live/live-json.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatLive } from './format/live.js';
import { toLiveRemarks } from './format/live-remarks.js';
import { formatTrackRole, toTrackRoleJson } from './format/roles.js';
import { formatRow } from './format/wrap.js';
import { complain, say } from './say.js';
import {
  NO_CHOICES,
  NO_LIVE_CHOICES,
  type PlacedMistake,
  type RawOptions,
  readLiveSettings,
  toChoices,
  toIdleRemarks,
  toLiveSettings,
  toTrackRole,
} from './settings/index.js';
import type { World } from './world.js';

/** Increases when a field changes its meaning or is removed, not when one is added. */
const CHECK_VERSION = 1;

/** `leeway check SETTINGS.toml`: every mistake, or what it would do. Throws a LeewayError if it can't be read. */
export async function runCheck(path: string, options: RawOptions, world: World): Promise<ExitCode> {
  const file = await readLiveSettings(path);
  const sayJson = (rest: object) => {
    const head = { kind: 'leeway settings check', version: CHECK_VERSION, path, ok: file.ok };
    say(world.stdout, [JSON.stringify({ ...head, ...rest }, null, 2)]);
  };
  if (!file.ok) {
    if (options.json === true) sayJson({ mistakes: file.mistakes.map(toMistakeJson) });
    else
      complain(
        world,
        file.mistakes.map(({ error }) => error),
      );
    return EXIT.mistake;
  }
  const choices = toChoices(file.settings);
  const { settings } = toLiveSettings(file.settings, NO_LIVE_CHOICES, NO_CHOICES, choices, file.presets);
  const tracks = (file.settings.track ?? []).map(toTrackRole);
  const remarks = [...toIdleRemarks(settings, choices, choices, 'key'), ...toLiveRemarks(settings)];
  if (options.json === true)
    sayJson({
      settings: toLiveJson(settings),
      tracks: tracks.map(toTrackRoleJson),
      headroom: toHeadroomJson(settings),
      remarks,
    });
  else {
    say(world.stdout, [
      `${path} is in order.`,
      ...formatLive(settings),
      ...tracks.flatMap((rule) => formatRow('tracks', formatTrackRole(rule), 10)),
    ]);
    say(
      world.stderr,
      remarks.map((remark) => `leeway: note: ${remark}.`),
    );
  }
  return EXIT.done;
}

function toMistakeJson({ path, place, error }: PlacedMistake) {
  const { code, message, advice } = error;
  return { path, ...place, code, message, advice };
}
