import type { CountersFact } from '../../core/feed/index.js';

/** What of a session the feed tells beside its tuning. */
export interface SessionFacts {
  readonly leewayCents: Readonly<Record<'pull' | 'anchored', number>>;
  readonly bypass: boolean;
  readonly inputs: readonly string[];
  readonly outputs: readonly string[];
  /** What of a note's carriage means something at the first outlet. */
  readonly carries: 'channel and bend' | 'channel' | 'nothing';
}

/** The piece that plays, in numbers that hold until the next word of it. Times on the session's clock. */
export interface PlayingState {
  readonly name: string;
  readonly title: string;
  readonly tempo: number;
  readonly loop: boolean;
  readonly pass: { readonly n: number; readonly atMs: number };
  /** When the pass would have begun at this tempo, and how long it is at it. */
  readonly startMs: number;
  readonly lengthMs: number;
}

/** Counters of the session's own; the server adds those of the viewers. */
export type SessionCounters = Omit<CountersFact, 'droppedFrames' | 'viewers'>;
