import { type MidiFile, type Track, tracksOf } from '../core/midi/index.js';
import type { Problem } from '../core/outcome.js';
import { type PartRole, PERCUSSION_CHANNEL, type RoleOf, toDefaultRole } from '../core/score/index.js';
import { findNearest, formatChannels } from '../core/words/index.js';
import { toTrackName } from './track-name.js';

/** A role, and whom it is for. Conditions that are left out hold for every track, and for every channel but 10. */
export interface TrackRole extends PartRole {
  /** Index of the track. */
  readonly number?: number | undefined;
  /** Its name, in any case; `*` stands for any letters. */
  readonly name?: string | undefined;
  /** Channels 0..15. */
  readonly channels?: readonly number[] | undefined;
}

/** Most tracks listed in a warning. */
const MOST_LISTED = 24;

/**
 * The role of each channel of each track: that of the first rule that fits. Where none does, percussion isn't tuned, and
 * everything else is.
 *
 * @example toRoleOf(tracksOf(file), [{ number: 0, role: 'guide' }])(0, 3).role  // 'guide'
 */
export function toRoleOf(tracks: readonly Track[], rules: readonly TrackRole[]): RoleOf {
  const fitting = tracks.map((track, index) => rules.filter((rule) => fits(rule, track, index)));
  return (track, channel) =>
    fitting[track].find(({ channels }) => channels?.includes(channel) ?? channel !== PERCUSSION_CHANNEL) ??
    toDefaultRole(track, channel);
}

/** A warning for each rule that is for no track of a file: what it says, and what tracks there are. */
export function toRoleWarnings(file: MidiFile, rules: readonly TrackRole[]): Problem[] {
  const tracks = tracksOf(file);
  return rules.flatMap((rule): Problem[] => {
    const found = tracks.filter((track, index) => fits(rule, track, index));
    const channels = new Set(found.flatMap(toChannels));
    const { channels: wanted, role } = rule;
    if (wanted === undefined ? found.length > 0 : wanted.some((channel) => channels.has(channel))) {
      const isMissed = wanted === undefined && channels.size === 1 && channels.has(PERCUSSION_CHANNEL);
      if (!isMissed || role === 'untuned' || isForAll(rule)) return [];
      const message = `${formatTracks(rule)} plays on channel 10 alone, so it is percussion, and not ${role}`;
      const advice =
        'If it is something else, name the channel: ch10=tuned, or channels = [10] in a settings file.';
      return [{ code: 'ROLE_NO_TRACK', message, advice }];
    }
    const nearest = rule.name === undefined ? undefined : findNearestName(rule.name, tracks.map(toTrackName));
    const hint = nearest === undefined ? '' : ` Did you mean "${nearest}"?`;
    const missing = `the role ${role} is for ${formatTracks(rule)}, which isn't there`;
    const message = `${missing}.${hint} The tracks: ${listTracks(tracks)}.`;
    return [
      { code: 'ROLE_NO_TRACK', message, advice: 'Give the number or the name of a track that is there.' },
    ];
  });
}

/** The rules for one of several pieces of a file, which is then a file of one track. @param piece from 0 */
export function toRulesOfPiece(rules: readonly TrackRole[], piece: number): TrackRole[] {
  return rules
    .filter(({ number = piece }) => number === piece)
    .map((rule) => (rule.number === undefined ? rule : { ...rule, number: 0 }));
}

/**
 * Whom a rule is for, in words.
 * @example formatTracks({ name: 'Organ', channels: [0, 1], role: 'fixed' })  // '"Organ" on channels 1, 2'
 */
export function formatTracks({ number, name, channels }: TrackRole): string {
  const track = number === undefined ? [] : [`track ${number + 1}`];
  const named = name === undefined ? [] : [`"${name}"`];
  const on = channels === undefined ? '' : formatChannels(channels);
  const which = [...track, ...named].join(' ');
  if (which === '') return on === '' ? 'every other track' : on;
  return on === '' ? which : `${which} on ${on}`;
}

function isForAll({ number, name }: TrackRole): boolean {
  return number === undefined && (name === undefined || /^\*+$/.test(name));
}

function fits({ number = -1, name }: TrackRole, track: Track, index: number): boolean {
  return (number < 0 || number === index) && (name === undefined || hasName(toTrackName(track), name));
}

/**
 * Whether a name is as wanted. Work grows with the length of the name alone.
 * @example hasName('Church Organ', '*organ')  // true
 */
export function hasName(name: string, wanted: string): boolean {
  const [whole, parts] = [fold(name), fold(wanted).split('*')];
  const last = parts.pop() ?? '';
  if (parts.length === 0) return whole === last;
  const [first, ...middle] = parts;
  if (!whole.startsWith(first)) return false;
  let at = first.length;
  for (const part of middle) {
    const found = whole.indexOf(part, at);
    if (found < 0) return false;
    at = found + part.length;
  }
  return whole.length - last.length >= at && whole.endsWith(last);
}

/** Case and the way accents are stored make no difference. */
function fold(name: string): string {
  return name.trim().normalize('NFC').toLowerCase();
}

function findNearestName(wanted: string, names: readonly string[]): string | undefined {
  const bare = wanted.replaceAll('*', '');
  if (bare === '') return undefined;
  const named = names.filter((name) => name !== '');
  return named.find((name) => hasName(name, `*${bare}*`)) ?? findNearest(bare, named);
}

function toChannels({ events }: Track): number[] {
  return events.flatMap((event) => (event.kind === 'channel' ? [event.status & 0x0f] : []));
}

function listTracks(tracks: readonly Track[]): string {
  const list = tracks.slice(0, MOST_LISTED).map((track, index) => {
    const name = toTrackName(track);
    return name === '' ? `${index + 1}` : `${index + 1} "${name}"`;
  });
  const more = tracks.length - list.length;
  return list.join(', ') + (more > 0 ? ` and ${more} more` : '');
}
