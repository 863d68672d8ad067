import { namePoint, toHarmonicMember } from '../../app/explain.js';
import type { MomentNote } from '../../core/score/index.js';
import { noteName, placeInterval } from '../../core/theory/index.js';
import type { DeciderPresence, Tuner } from '../../core/tuner/index.js';

/** How the note that decided another was there. */
const PRESENCE: Readonly<Record<DeciderPresence, string>> = {
  held: 'held',
  pedalled: 'pedalled',
  recalled: 'recalled',
  together: 'struck together',
  first: '',
};

/** The harmonics a chord can ask for. */
const HARMONIC = { 7: 'seventh', 11: 'eleventh', 13: 'thirteenth' } as const;

/**
 * Why a note stands where it stands: the note that decided it, the interval between the two, and how that note was
 * there; for a note tied over, that it is.
 *
 * @example formatReason(note, notes, tuner)  // 'a just major third above C4⁰, held'
 */
export function formatReason(note: MomentNote, notes: readonly MomentNote[], tuner: Tuner): string {
  if (note.presence === 'held') return 'tied over';
  if (note.presence === 'pedalled') return 'rings on by the pedal';
  const member = toHarmonicMember(note, notes);
  const pure =
    member === undefined
      ? ''
      : `; the pure ${HARMONIC[member.harmonic]} of the harmonic chord on ${noteName(member.root, tuner.settings.home.tonic)}`;
  const { presence, interval, deciderPoint, deciderKey } = note.reason;
  if (presence === 'first') return `first note${pure}`;
  const decider = namePoint(tuner, deciderPoint, deciderKey);
  return `${placeInterval(interval)} ${decider}, ${PRESENCE[presence]}${pure}`;
}
