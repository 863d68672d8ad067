import type { EntryFact, PassFact, ScoreFact, StageFact } from '../protocol/index.js';
import type { Strategy, TunerSettings, TunerSnapshot } from '../tuner/index.js';
import type { DriftPoint } from './drift-history.js';
import type { RoutingSnapshot } from './note-routing.js';
import type { PlayingState, SessionFacts } from './session-messages.js';

/** The replicas of a session's tuner as plain data. */
export interface ReplicasSnapshot {
  readonly tuners: Readonly<Record<Strategy, TunerSnapshot>>;
  readonly strategy: Strategy;
  readonly routing: RoutingSnapshot;
  readonly counts: Readonly<Record<Strategy, number>>;
  readonly strikeMs: number | null;
  readonly notes: number;
}

/** A whole monitor as plain data, for a new server to continue from. */
export interface MonitorSnapshot {
  readonly replicas: ReplicasSnapshot;
  readonly settings: TunerSettings;
  readonly facts: SessionFacts;
  readonly drift: readonly DriftPoint[];
  readonly passes: readonly PassFact[];
  readonly tail: readonly EntryFact[];
  readonly playing: PlayingState | null;
  readonly score: ScoreFact | null;
  readonly stage: StageFact;
}

/** What another server starts from: the state of the one before, or the first settings. */
export interface ReplayStart {
  readonly settings: TunerSettings;
  readonly facts: SessionFacts;
  readonly snapshot: MonitorSnapshot | undefined;
}
