import type { Strategy } from '../strategy.js';
import { type Home, type PrimeLimit, toHome } from '../theory/index.js';
import { type ChoiceWeights, DEFAULT_WEIGHTS } from './weights.js';

/** All settings of a tuner. Frozen; a change makes a new one. */
export interface TunerSettings {
  readonly limit: PrimeLimit;
  readonly home: Home;
  /** The pitch of A, as cents away from 440 Hz. */
  readonly referenceCents: number;
  readonly strategy: Strategy;
  /** How far the mean of what sounds may be from home before anything is done, in cents. */
  readonly leewayCents: number;
  /** How fast `pull` brings it back, in cents a second. */
  readonly rateCentsPerSecond: number;
  /** How many cents a note may be off a pure chord to come back where it was; 0: pure chords come first. */
  readonly recallCents: number;
  /** Whether sounding notes follow when the common offset moves, or keep their pitch. */
  readonly held: 'follow' | 'stay';
  /** How long a tied note takes to follow, in milliseconds. */
  readonly glideMs: number;
  /** How long a note may still be revised by what is struck with it, in milliseconds. */
  readonly strikeWindowMs: number;
  /** The grid on which glides and the pull move, in milliseconds. */
  readonly tickMs: number;
  readonly weights: ChoiceWeights;
}

/** Default leeway of each strategy, in cents. */
export const DEFAULT_LEEWAY_CENTS: Readonly<Record<Strategy, number>> = {
  free: Infinity,
  pull: 2,
  anchored: 8,
  temper: 0,
};

/** Whether notes stay off their ratios for good, not only during a glide: that is entered as impurity. */
export function leavesImpure({ held, strategy }: TunerSettings): boolean {
  return held === 'stay' || strategy === 'temper';
}

/** The one place of default values; the settings file and the command line start from here. */
export const DEFAULT_SETTINGS: TunerSettings = Object.freeze({
  limit: 5,
  home: toHome({ kind: 'equal', tonic: { keyClass: 0, fifths: 0 } }),
  referenceCents: 0,
  strategy: 'anchored',
  leewayCents: DEFAULT_LEEWAY_CENTS.anchored,
  rateCentsPerSecond: 3,
  held: 'follow',
  glideMs: 60,
  strikeWindowMs: 30,
  recallCents: 0,
  tickMs: 10,
  weights: DEFAULT_WEIGHTS,
});

/**
 * Default settings with some changed. The leeway follows the strategy unless it is given. Ranges aren't checked here,
 * but where settings are read.
 *
 * @example toSettings({ strategy: 'pull' }).leewayCents // 2
 */
export function toSettings(changes: Partial<TunerSettings>): TunerSettings {
  const leewayCents = DEFAULT_LEEWAY_CENTS[changes.strategy ?? DEFAULT_SETTINGS.strategy];
  return Object.freeze({ ...DEFAULT_SETTINGS, leewayCents, ...changes });
}
