import type {
  DriftEntry,
  ImpurityEntry,
  OffsetEntry,
  ReturnEntry,
  Strategy,
  TunerSettings,
} from '../tuner/index.js';
import { formatAway, formatMove } from './drift.js';
import { count, formatCents, formatSeconds, formatSize } from './numbers.js';

/** An entry of the ledger with its note's name and its tuner's settings: all its sentence needs. */
export type NamedEntry =
  | (Pick<ReturnEntry, 'kind' | 'cents'> & {
      readonly name: string;
      /** Its commas, as `formatComma` writes them. */
      readonly comma: string;
      /** Its ratios to the tonic of home before and now, if they are known. */
      readonly was?: string;
      readonly now?: string;
    })
  | (Pick<DriftEntry, 'kind' | 'cents'> & {
      readonly name: string;
      readonly comma: string;
      /** Whether the named note itself came back by the step; and the name of the note it was tied to: empty for none. */
      readonly isReturn: boolean;
      readonly by: string;
    })
  | (OffsetEntry & Pick<TunerSettings, 'held'>)
  | (Omit<ImpurityEntry, 'noteId' | 'part' | 'key'> & { readonly name: string; readonly strategy: Strategy });

/** Longer ratios to home are unreadable in a sentence. */
const MOST_LETTERS = 9;

/**
 * An entry of the ledger as a sentence.
 * @example
 * const moved = { kind: 'return', name: 'D', comma: '−1 syntonic comma', cents: -21.506, was: '9/8', now: '10/9' };
 * formatEntry(moved)  // 'D came back one syntonic comma lower (−21.5 c): 10/9 instead of 9/8.'
 */
export function formatEntry(entry: NamedEntry): string {
  switch (entry.kind) {
    case 'return': {
      const { name, comma, cents, was = '', now = '' } = entry;
      const isShort = was !== '' && Math.max(was.length, now.length) <= MOST_LETTERS;
      const places = isShort ? `: ${now} instead of ${was}` : '';
      return `${name} came back ${formatMove(comma)} (${formatCents(cents)})${places}.`;
    }
    case 'drift': {
      const { name, comma, cents, isReturn, by } = entry;
      const why = by === '' ? '' : `: it was tied to ${by}`;
      const what = isReturn
        ? `${name} came back ${formatAway(comma)}${why}`
        : `From ${name} on the harmony is ${formatMove(comma)}`;
      return `${what}. That moved the drift by ${formatCents(cents)}.`;
    }
    case 'offset':
      return `${formatOffset(entry)}.`;
    case 'impurity': {
      const { name, strategy, cents, centSeconds } = entry;
      const did = strategy === 'temper' ? 'was tempered' : 'kept its pitch';
      const where = `${formatSize(cents)} ${cents < 0 ? 'below' : 'above'} its pure ratio`;
      return `${name} ${did} for ${toSeconds(entry)}, at last ${where} (${centSeconds.toFixed(2)} cent-seconds).`;
    }
  }
}

function formatOffset(entry: Extract<NamedEntry, { kind: 'offset' }>): string {
  const { cause, cents, struck, tied, held } = entry;
  const moved = `The pitch moved by ${formatCents(cents)}`;
  const heldNotes = tied === 0 ? [] : [`${count(tied, 'held note')} ${toDeed(tied, held)}`];
  const struckNotes = struck === 0 ? [] : [`${count(struck, 'struck note')} took it at once`];
  const who = [...struckNotes, ...heldNotes].join(', ');
  const payers = who === '' ? '' : `: ${who}`;
  switch (cause) {
    case 'first strike':
      return `The first chord was placed at home: ${formatCents(cents)} for every note`;
    case 'anchor':
      return `${moved} toward home${payers}`;
    case 'temper':
      return `${moved} to temper the chord${payers}`;
    case 'partner':
      return `${moved}, to the fixed part${payers}`;
    case 'plan':
      return `${moved}, as planned${payers}`;
    case 'home':
      return `Went home: ${formatCents(cents)} for everything that sounded`;
    case 'pull':
      return `${moved} toward home in ${toSeconds(entry)}: ${held === 'stay' ? 'only struck notes took it' : heldNotes.join('') || 'no note sounded'}`;
  }
}

function toDeed(notes: number, held: TunerSettings['held']): string {
  return held === 'follow' ? 'glided' : `kept ${notes === 1 ? 'its' : 'their'} pitch`;
}

function toSeconds({ atMs, untilMs }: { readonly atMs: number; readonly untilMs: number }): string {
  return formatSeconds((untilMs - atMs) / 1000, 1);
}
