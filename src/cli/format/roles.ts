import type { PieceReport } from '../../app/report.js';
import { formatTracks, type TrackRole } from '../../app/track-roles.js';
import { ROLE } from '../../core/settings/index.js';
import { count } from '../../core/words/index.js';

/**
 * A role of a settings file, and whom it is for.
 * @example formatTrackRole({ name: 'Chords', role: 'guide' })  // '"Chords": guide, heard as harmony, and not sent on'
 */
export function formatTrackRole(rule: TrackRole): string {
  const { role } = rule;
  const words = ROLE.role.words[role];
  return `${formatTracks(rule)}: ${role}${words === '' ? '' : `, ${words}`}`;
}

/** A role in JSON: tracks and channels counted from 1, `null` where there is no such condition. */
export function toTrackRoleJson({ number, name, channels, role, fixedCents }: TrackRole) {
  return {
    number: number === undefined ? null : number + 1,
    name: name ?? null,
    channels: channels?.map((channel) => channel + 1) ?? null,
    role,
    fixedCents: fixedCents ?? null,
  };
}

/**
 * What became of the parts that aren't tuned, a sentence each.
 * @example formatOthers({ parts: [{ track: 5, channel: 4, name: 'Bass', role: 'fixed', notes: 96 }] })
 *   // ['Bass (track 5) is fixed: it passes unchanged (96 notes), and the others are tuned to it']
 */
export function formatOthers({ parts }: Pick<PieceReport, 'parts'>): string[] {
  return parts.flatMap(({ track, channel, name, role, notes }) => {
    if (role === 'tuned') return [];
    const place = track === null ? `channel ${channel}` : `track ${track}`;
    const which = name === '' ? place : `${name} (${place})`;
    const its = count(notes, 'note');
    return role === 'fixed'
      ? `${which} is fixed: it passes unchanged (${its}), and the others are tuned to it`
      : `${which} is a guide: it is heard (${its}), and its notes are left out of the file`;
  });
}
