import { findReturned, namePoint } from '../../app/explain.js';
import type { MomentNote } from '../../core/score/index.js';
import { formatRatio, spellKey } from '../../core/theory/index.js';
import type { LedgerEntry, OffsetEntry, Tuner } from '../../core/tuner/index.js';
import { formatMove } from './commas.js';
import { count, formatCents, formatSeconds, formatSize } from './numbers.js';

/**
 * A line of the ledger as a sentence.
 *
 * @param notes the moment it was entered in
 * @example D5⁻² came back one syntonic comma lower: 80/81, −21.5 c.
 */
export function formatEntry(entry: LedgerEntry, notes: readonly MomentNote[], tuner: Tuner): string {
  switch (entry.kind) {
    case 'return': {
      const note = findReturned(entry, notes);
      const name = note === undefined ? nameKey(entry.key, tuner) : namePoint(tuner, note.point, entry.key);
      const { ratio, cents } = entry;
      return `${name} came back ${formatMove(ratio)}: ${formatRatio(ratio)}, ${formatCents(cents)}.`;
    }
    case 'offset':
      return formatOffset(entry, tuner);
    case 'impurity': {
      const seconds = formatSeconds((entry.untilMs - entry.atMs) / 1000, 1);
      const side = entry.cents < 0 ? 'below' : 'above';
      if (tuner.settings.strategy === 'temper')
        return `${nameKey(entry.key, tuner)} was tempered for ${seconds}, at last ${formatSize(entry.cents)} ${side} its ratio (${entry.centSeconds.toFixed(2)} cent-seconds).`;
      return `${nameKey(entry.key, tuner)} kept its pitch for ${seconds}, at last ${formatSize(entry.cents)} ${side} the harmony (${entry.centSeconds.toFixed(2)} cent-seconds).`;
    }
  }
}

function formatOffset(entry: OffsetEntry, tuner: Tuner): string {
  const { cause, cents, struck, tied, atMs, untilMs } = entry;
  const moved = formatCents(cents);
  const stays = tuner.settings.held === 'stay';
  switch (cause) {
    case 'first strike':
      return `The first chord was set to stand at home as a whole: ${moved} for every note.`;
    case 'anchor': {
      const ties = tied === 0 ? '' : `, ${count(tied, 'tied note')} ${stays ? 'kept still' : 'glided along'}`;
      return `Brought back toward home by ${moved}: ${count(struck, 'new note')} took it at once${ties}.`;
    }
    case 'temper': {
      const ties = tied === 0 ? '' : `, and ${count(tied, 'tied note')} ${stays ? 'kept still' : 'gave way'}`;
      return `Tempered: the body moved by ${moved} with ${count(struck, 'new note')}${ties}.`;
    }
    case 'plan': {
      const ties = tied === 0 ? '' : `, ${count(tied, 'tied note')} ${stays ? 'kept still' : 'glided along'}`;
      return `Moved by ${moved}, as planned: ${count(struck, 'new note')} took it at once${ties}.`;
    }
    case 'home':
      return `Went home: ${moved} for everything that sounded.`;
    case 'pull': {
      const seconds = formatSeconds((untilMs - atMs) / 1000, 1);
      const who = stays ? 'new notes took it' : `${count(tied, 'sounding note')} glided along`;
      return `Pulled toward home by ${moved} in ${seconds}: ${who}.`;
    }
  }
}

/** A key's name where no lattice point is at hand: as it is usually spelled round the tonic. */
function nameKey(key: number, { settings }: Tuner): string {
  return spellKey(key, settings.home.tonic.fifths + 2, { octave: true });
}
