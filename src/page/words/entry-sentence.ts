import type { EntryFact } from '../../core/protocol/index.js';
import { isShort } from './exact.js';
import { count, formatCents, formatSize } from './numbers.js';

/**
 * A line of the books as a sentence, without its strategy.
 * @example D came back one syntonic comma lower: 10/9 instead of 9/8.
 */
export function toEntrySentence(entry: EntryFact): string {
  switch (entry.kind) {
    case 'return': {
      const { name, comma, cents, now, was } = entry;
      // Far out on the lattice the ratios to home are too long to say anything.
      const places = isShort(now) && isShort(was) ? `: ${now} instead of ${was}` : '';
      return `${toLetter(name)} came back ${toMove(comma, cents)}${places}.`;
    }
    case 'offset':
      return toOffsetSentence(entry);
    case 'impurity': {
      const seconds = ((entry.untilMs - entry.atMs) / 1000).toFixed(1);
      const side = entry.cents < 0 ? 'below' : 'above';
      if (entry.strategy === 'temper')
        return `${toLetter(entry.name)} was tempered for ${seconds} s, ${formatSize(entry.cents)} ${side} its ratio.`;
      return `${toLetter(entry.name)} kept still for ${seconds} s, at last ${formatSize(entry.cents)} ${side} the harmony.`;
    }
  }
}

function toOffsetSentence(entry: Extract<EntryFact, { kind: 'offset' }>): string {
  const { cents, struck, tied, held, untilMs, atMs } = entry;
  const way = cents < 0 ? 'down' : 'up';
  switch (entry.cause) {
    case 'first strike':
      return `The first chord took its place at home: ${formatCents(cents)}.`;
    case 'home':
      return tied === 0
        ? `Went home: ${formatSize(cents)} ${way}.`
        : `Went home: ${formatSize(cents)} ${way}, with ${count(tied, 'tied note')}.`;
    case 'anchor':
    case 'plan': {
      if (tied === 0)
        return `${count(struck, 'new note')} took its place ${formatSize(cents)} ${way}.`.replace(
          /^./,
          upper,
        );
      const notes = count(tied, 'tied note');
      return held === 'stay'
        ? `New notes stand ${formatSize(cents)} further ${way}; ${notes} kept still.`
        : `Moved ${notes} ${formatSize(cents)} ${way}.`;
    }
    case 'temper': {
      const notes =
        tied === 0
          ? count(struck, 'new note')
          : `${count(tied, 'tied note')} and ${count(struck, 'new note')}`;
      return `Tempered ${notes}: ${formatSize(cents)} ${way} as a whole.`;
    }
    case 'pull': {
      const seconds = ((untilMs - atMs) / 1000).toFixed(1);
      return `Brought everything ${formatSize(cents)} ${way} in ${seconds} s.`;
    }
  }
}

/** "−1 syntonic comma" as "one syntonic comma lower"; a sum of several commas in cents alone. */
function toMove(comma: string, cents: number): string {
  const parts = /^([+−])(\d+) ([^,]+)$/.exec(comma);
  const side = cents < 0 ? 'lower' : 'higher';
  if (parts === null) return `${formatSize(cents)} ${side}`;
  const [, sign, times, name] = parts;
  const words = times === '1' ? `one ${name}` : `${times} ${name}`;
  return `${words} ${sign === '−' ? 'lower' : 'higher'}`;
}

/** Letter and accidental of a note name. @example toLetter('B♭4⁻¹')  // 'B♭' */
export function toLetter(name: string): string {
  return /^[A-G](?:[♯♭]+|\(\d+[♯♭]\))?/.exec(name)?.[0] ?? name;
}

function upper(letter: string): string {
  return letter.toUpperCase();
}
