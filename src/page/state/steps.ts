import type { EntryFact, Tuning } from '../../core/protocol/index.js';
import type { StepMark } from '../drift/plot.js';
import { findMoment } from '../drift/scales.js';
import { sayEntry } from './ledger-groups.js';
import type { SessionHistory } from './session-history.js';

/** A step of the drift with its sentence: "G came back a comma low: it was tied to D." */
export interface Step extends StepMark {
  readonly sentence: string;
}

/** After a step the chart has its value by then, in seconds. */
const SETTLED_SECONDS = 0.15;

/** The steps of the heard tuning, oldest first. 12 equal has none. */
export function toSteps(
  entries: readonly EntryFact[],
  heard: Tuning,
  log: Pick<SessionHistory, 'seconds' | 'free' | 'pull' | 'anchored' | 'temper'>,
): Step[] {
  if (heard === 'equal') return [];
  return entries
    .filter((entry) => entry.kind === 'drift' && entry.strategy === heard)
    .map((entry) => {
      const seconds = entry.atMs / 1000;
      const cents = log[heard][findMoment(log.seconds, seconds + SETTLED_SECONDS)] ?? 0;
      return { seconds, cents, sentence: sayEntry(entry) };
    });
}
