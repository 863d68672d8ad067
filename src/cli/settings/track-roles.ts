import type { TrackRole } from '../../app/track-roles.js';
import { fail, type Outcome, succeed } from '../../core/outcome.js';
import { ROLE, TRACK, toFields, type Values } from '../../core/settings/index.js';
import { toHome, toReferenceCents } from '../../core/theory/index.js';
import { DEFAULT_SETTINGS } from '../../core/tuner/index.js';
import { formatValue } from './format.js';
import { readValue } from './read-value.js';

/** How to write the option. */
export const ROLE_OPTION = {
  flags: '--role <track=role>',
  help:
    'the role of a track, by its number, its name or its channel, such as 3=guide, "Org*=fixed" or ch10=tuned; may be ' +
    'given several times, the first that fits a track holds; the roles: tuned, fixed (a partner in 12 equal that ' +
    "can't be tuned), guide (heard, and left out of the output), untuned (passes, and is not heard)",
} as const;

const SHAPE_ADVICE = 'Write a track, an equals sign and a role, such as Organ=fixed, 3=guide or ch10=tuned.';

/**
 * A role on the command line. Fails with ROLE_TEXT where the text has no two sides, and with `VALUE_…` where a side
 * can't be read.
 *
 * @example readRole('Org*=fixed').value.name        // 'Org*'
 * @example readRole('ch10=tuned').value.channels    // [9]
 */
export function readRole(text: string): Outcome<TrackRole> {
  const at = text.lastIndexOf('=');
  const [track, word] = [text.slice(0, at).trim(), text.slice(at + 1).trim()];
  if (at < 0 || track === '' || word === '') {
    const message = `expected a track and its role, found ${formatValue(text)}`;
    return fail({ code: 'ROLE_TEXT', message, advice: SHAPE_ADVICE });
  }
  const role = readValue(ROLE.role, word, 'option');
  if (!role.ok) return role;
  const channel = /^ch(?:annel)? *(\d+)$/i.exec(track)?.[1];
  const [key, value] =
    channel !== undefined
      ? ['channels', [Number(channel)]]
      : [/^\d+$/.test(track) ? 'number' : 'name', track];
  const which = readValue(TRACK[key as 'channels' | 'number' | 'name'], value, 'option');
  if (!which.ok) return which;
  return succeed(toTrackRole({ [key as string]: which.value, role: role.value }));
}

/** A table of a settings file, with its defaults. */
export function toTrackRole(table: Values<typeof TRACK>): TrackRole {
  const { number, name, channels, role = 'tuned' } = table;
  const which = { number, name, channels, role };
  return Object.freeze(role === 'fixed' ? { ...which, fixedCents: toFixedCents(table) } : which);
}

/**
 * Where the keys of a partner sound that can't be tuned: cents off 12 equal at A = 440 Hz, by key class 0..11. 12 equal
 * at 440 Hz, where nothing else is given.
 *
 * @example toFixedCents({})[9]  // 0
 */
export function toFixedCents(table: Values<typeof ROLE>): readonly number[] {
  const { scale = { kind: 'equal' }, tonic = DEFAULT_SETTINGS.home.tonic, a4Hz } = toFields(ROLE, table);
  const referenceCents = a4Hz === undefined ? 0 : toReferenceCents(a4Hz);
  return Object.freeze(toHome({ ...scale, tonic }).deviationCents.map((cents) => cents + referenceCents));
}
