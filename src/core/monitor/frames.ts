import {
  type CountersFact,
  type EntryFact,
  type Frame,
  forStrategies,
  LIMITS,
  type PlayingFact,
  type StageFact,
  toThousandth,
} from '../protocol/index.js';
import type { SoundingNote, Strategy } from '../tuner/index.js';
import { toDriftFact, toTotalsFact } from './ledger-facts.js';
import { type Tuners, toNoteFacts, toRecalledFacts } from './note-facts.js';
import type { NoteChannel } from './note-routing.js';

/** Everything a frame is made from. */
export interface FrameSources {
  readonly atMs: number;
  /** The strategy of the facts; sent to MIDI unless `bypass`. */
  readonly strategy: Strategy;
  readonly bypass: boolean;
  /** All of them advanced to `atMs` by a `time` event. */
  readonly tuners: Tuners;
  readonly strikeMs: number | null;
  readonly sentAs: (note: Readonly<SoundingNote>) => NoteChannel;
  /** In the order they were entered; of too many the newest are sent. */
  readonly entries: readonly EntryFact[];
  readonly playing: PlayingFact | null;
  readonly stage: StageFact;
  readonly counters: CountersFact;
}

/**
 * The state of a session at this moment. Within the bounds of `LIMITS`. Times are in milliseconds, pitches in cents,
 * both to a thousandth.
 */
export function toFrame(sources: FrameSources): Frame {
  const { atMs, strategy, tuners, strikeMs } = sources;
  const { notes, more } = toNoteFacts(strategy, tuners, sources.sentAs);
  return {
    type: 'frame',
    atMs: toThousandth(atMs),
    sounding: sources.bypass ? null : strategy,
    strikeMs: strikeMs === null ? null : toThousandth(strikeMs),
    notes,
    more,
    recalled: toRecalledFacts(tuners[strategy], atMs),
    drift: forStrategies((which) => toDriftFact(tuners[which])),
    entries: sources.entries.slice(-LIMITS.entries),
    totals: forStrategies((which) => toTotalsFact(tuners[which])),
    playing: sources.playing,
    stage: sources.stage,
    counters: sources.counters,
  };
}
