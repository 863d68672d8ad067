import type { CountersFact, Downstream } from '../protocol/index.js';
import type { TunerSettings } from '../tuner/index.js';

/** Facts for viewers beside the tuning. */
export interface SessionFacts {
  readonly leewayCents: Readonly<Record<'pull' | 'anchored', number>>;
  readonly bypass: boolean;
  /** Names of the ports that are open. */
  readonly inputs: readonly string[];
  readonly outputs: readonly string[];
  /** Addresses for onlookers, the best first. */
  readonly addresses: readonly string[];
  /** Which of a note's channel and bend apply at the first outlet. */
  readonly carries: 'channel and bend' | 'channel' | 'nothing';
}

/** The playing piece, in numbers that hold until the next message about it. Times on the session's clock. */
export interface PlayingState {
  readonly name: string;
  readonly title: string;
  readonly tempo: number;
  readonly loop: boolean;
  readonly pass: { readonly n: number; readonly atMs: number };
  /** When the pass would have begun at this tempo, and its length at it. */
  readonly startMs: number;
  readonly lengthMs: number;
}

/** The session's counters; the server adds those of the viewers. */
export type SessionCounters = Omit<CountersFact, 'droppedFrames' | 'viewers'>;

/** The messages of a session to its viewers, in order. All of it is plain data. */
export type SessionMessage =
  /** Tuner events and how notes were sent, as rows of numbers; see `session-rows.ts`. */
  | { readonly kind: 'rows'; readonly rows: Float64Array }
  | {
      readonly kind: 'settings';
      readonly atMs: number;
      readonly settings: TunerSettings;
      readonly facts: SessionFacts;
    }
  | { readonly kind: 'facts'; readonly facts: SessionFacts }
  | { readonly kind: 'playing'; readonly playing: PlayingState | null }
  | { readonly kind: 'figures'; readonly counters: SessionCounters; readonly health: object }
  | { readonly kind: 'notice'; readonly level: 'info' | 'warning' | 'error'; readonly text: string }
  | { readonly kind: 'answer'; readonly viewer: number; readonly message: Downstream };
