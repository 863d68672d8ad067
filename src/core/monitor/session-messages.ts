import type { CountersFact, Downstream, PassFact, ScoreFact, StageFact } from '../protocol/index.js';
import type { TunerSettings } from '../tuner/index.js';

/** Facts for viewers beside the tuning. */
export interface SessionFacts {
  readonly leewayCents: Readonly<Record<'pull' | 'anchored', number>>;
  readonly bypass: boolean;
  /** Stories there are to tell. */
  readonly stories: readonly string[];
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
  readonly isPaused: boolean;
  readonly pass: { readonly n: number; readonly atMs: number };
  /** A place in the piece as written, and when it was reached; while the piece is paused it stays there. */
  readonly positionMs: number;
  readonly atMs: number;
  readonly lengthMs: number;
  /** The stretch that is played. */
  readonly fromMs: number;
  readonly toMs: number;
}

/** A pass of a piece: its number from 1, when it began, and its events as rows. */
export interface PlayedPass extends Omit<PassFact, 'left'> {
  readonly rows: Float64Array;
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
  /** Another strategy is heard, under its own settings: the music goes on under each as it was. */
  | {
      readonly kind: 'heard';
      readonly settings: TunerSettings;
      readonly facts: SessionFacts;
    }
  | { readonly kind: 'facts'; readonly atMs: number; readonly facts: SessionFacts }
  /** Everything before is forgotten: the music is as if only these passes of a piece had been played, up to now. */
  | {
      readonly kind: 'rebuilt';
      readonly atMs: number;
      /** Number of the next note after all that sounded before. */
      readonly nextId: number;
      readonly passes: readonly PlayedPass[];
    }
  | { readonly kind: 'playing'; readonly playing: PlayingState | null }
  /** The chords of the piece that plays. */
  | { readonly kind: 'score'; readonly score: ScoreFact | null }
  | { readonly kind: 'stage'; readonly stage: StageFact }
  | { readonly kind: 'figures'; readonly counters: SessionCounters; readonly health: object }
  | { readonly kind: 'notice'; readonly level: 'info' | 'warning' | 'error'; readonly text: string }
  | { readonly kind: 'answer'; readonly viewer: number; readonly message: Downstream };
