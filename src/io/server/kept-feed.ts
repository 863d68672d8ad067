import type { CoursePoint, EntryFact, PassFact } from '../../core/feed/index.js';
import type { KeptSettings, KeptTuner, Strategy } from '../../core/tuner/index.js';
import type { PlayingState, SessionFacts } from './session-facts.js';

/** How a sounding note was struck and sent. */
export interface Sent {
  readonly velocity: number;
  channel: number | null;
}

/** A shadow as plain data. */
export interface KeptShadow {
  readonly tuners: Readonly<Record<Strategy, KeptTuner>>;
  readonly strategy: Strategy;
  readonly counts: Readonly<Record<Strategy, number>>;
  readonly strikeMs: number | null;
  readonly lastKeys: readonly number[];
  readonly sent: ReadonlyMap<number, Sent>;
  readonly bends: Uint16Array;
  readonly notes: number;
}

/** Everything a feed has come to, as plain data: what a server that takes over goes on from. */
export interface KeptFeed {
  readonly shadow: KeptShadow;
  readonly settings: KeptSettings;
  readonly facts: SessionFacts;
  readonly course: readonly CoursePoint[];
  readonly passes: readonly PassFact[];
  readonly tail: readonly EntryFact[];
  readonly playing: PlayingState | null;
}
