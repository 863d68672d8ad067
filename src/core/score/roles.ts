/**
 * What becomes of the notes of an input, or of a track of a file: tuned and sent on; of a partner that can't be tuned:
 * passed on as they are, and the others tuned to them; a guide: heard as harmony and not sent; or passed on and not
 * heard.
 */
export type Role = 'tuned' | 'fixed' | 'guide' | 'untuned';

/** The role of some notes, and for a partner that can't be tuned the pitch of its keys. */
export interface PartRole {
  readonly role: Role;
  /** Where the keys of a fixed part sound: cents off 12 equal at A = 440 Hz, by key class 0..11. */
  readonly fixedCents?: readonly number[] | undefined;
}

/** The role of a channel 0..15 of a track, by the index of the track. */
export type RoleOf = (track: number, channel: number) => PartRole;

/** Channel 10 in words: percussion, which has no pitch to tune. */
export const PERCUSSION_CHANNEL = 9;

/** The usual role. */
export const TUNED: PartRole = Object.freeze({ role: 'tuned' });
/** The role of percussion, where nothing else is asked for. */
export const UNTUNED: PartRole = Object.freeze({ role: 'untuned' });

/** The role of a channel where nothing else is asked for. @example toDefaultRole(0, 9).role  // 'untuned': percussion */
export const toDefaultRole: RoleOf = (_track, channel) => (channel === PERCUSSION_CHANNEL ? UNTUNED : TUNED);

/** Whether two streams of playing have the same role, and the same pitches if they are fixed. */
export function isSameRole(one: PartRole, other: PartRole): boolean {
  return one.role === other.role && one.fixedCents === other.fixedCents;
}
