import { type EntryFact, type SettingsFact, STRATEGIES } from '../../core/protocol/index.js';
import { formatEntry, type NamedEntry, toLetter } from '../../core/words/index.js';
import { spellCents } from '../words/units.js';

/** A sentence of the ledger, and the strategies it is true of. */
export interface LedgerLine {
  readonly id: string;
  readonly atMs: number;
  readonly strategies: readonly SettingsFact['strategy'][];
  readonly sentence: string;
}

/** The entries of one pass of a piece; pass 0 is outside any. */
export interface LedgerPass {
  readonly pass: number;
  readonly lines: readonly LedgerLine[];
}

/**
 * The newest entries as sentences, newest first, grouped by pass. Simultaneous equal sentences of several strategies
 * are one.
 */
export function groupEntries(entries: readonly EntryFact[], most: number): LedgerPass[] {
  const passes: { pass: number; lines: (LedgerLine & { strategies: SettingsFact['strategy'][] })[] }[] = [];
  let count = 0;
  const newestFirst = entries
    .map((entry, i) => ({ entry, i }))
    .sort((a, b) => b.entry.atMs - a.entry.atMs || b.i - a.i);
  for (const { entry } of newestFirst) {
    const sentence = sayEntry(entry);
    let group = passes.at(-1);
    if (group?.pass !== entry.pass) {
      group = { pass: entry.pass, lines: [] };
      passes.push(group);
    }
    const same = group.lines.find((line) => line.atMs === entry.atMs && line.sentence === sentence);
    if (same !== undefined) {
      if (!same.strategies.includes(entry.strategy)) same.strategies.push(entry.strategy);
      continue;
    }
    if (++count > most) break;
    group.lines.push({
      id: `${entry.strategy} ${entry.n}`,
      atMs: entry.atMs,
      strategies: [entry.strategy],
      sentence,
    });
  }
  return passes.filter((group) => group.lines.length > 0);
}

/** An entry of the ledger as a sentence. */
export function sayEntry(entry: EntryFact): string {
  return spellCents(formatEntry(toNamedEntry(entry)));
}

/** The letter of a note is enough: strategies with different drift then say the same. */
function toNamedEntry(entry: EntryFact): NamedEntry {
  if (entry.kind === 'offset') return entry;
  if (entry.kind === 'drift') return { ...entry, name: toLetter(entry.name), by: toLetter(entry.by) };
  return { ...entry, name: toLetter(entry.name) };
}

/** The strategies a sentence is about. @example toSpeaker(['pull', 'free'])  // 'free, pull' */
export function toSpeaker(strategies: readonly string[]): string {
  if (strategies.length === STRATEGIES.length) return 'all';
  return STRATEGIES.filter((one) => strategies.includes(one)).join(', ');
}
