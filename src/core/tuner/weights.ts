import { LIVE_PRICES, type PriceList } from './comma-prices.js';

/** Seven figures, one for each interval class: 0 unison or octave, 1 minor second or major seventh … 6 tritone. */
export type ByIntervalClass = readonly [number, number, number, number, number, number, number];

/**
 * The numbers behind the choice of a ratio, the same for every kind of music. `README.md` beside this file says how
 * they were found; `npm run bench:corpus` shows their effect. Costs have the dimension of a harmonic distance: a pure
 * fifth costs 1.58 before weighting.
 */
export interface ChoiceWeights {
  /** What places cost where consonances leave a choice. */
  readonly prices: PriceList;
  /** Weight of the harmonic distance: high for thirds, fourths and their inversions, lower for seconds. */
  readonly distance: ByIntervalClass;
  /** Surcharge on an interval that isn't the plain just one of its class: 1/1, 6/5, 5/4, 4/3 and their inversions. */
  readonly impure: ByIntervalClass;
  /** From this harmonic distance on an interval is strange, and the excess counts by `strangeSlope` in every class. */
  readonly strange: number;
  readonly strangeSlope: number;
  /** Price of each step a prime above 5 takes between two notes, where their frames differ by one. */
  readonly highPrime: number;
  /** Weight of a note just ended, and how long until it fades to 1/e. */
  readonly recall: number;
  readonly recallSeconds: number;
  /** Weight of a tied note; notes struck together have 1 among themselves. More than 1 keeps harmony pure against it. */
  readonly held: number;
  /** Weight of a note only a pedal holds just after its key came up, and how long until it fades to 1/e. */
  readonly pedal: number;
  readonly pedalSeconds: number;
  /**
   * Price of a key class coming back elsewhere:
   * `returnPrice` · exp(-age / returnSeconds) · (returnStep + min(3, cents / returnCents)).
   */
  readonly returnPrice: number;
  readonly returnSeconds: number;
  readonly returnStep: number;
  readonly returnCents: number;
  /**
   * `anchored` counts the pitch heard. Narrowness of the band: 1 ÷ (1 + leeway / narrowCents). The price of coming back
   * elsewhere is (1 + `narrowReturn` × narrowness) times as high, and its step counts beyond 5 cents. Each cent a tied
   * note moves costs `tiedPrice` × narrowness.
   */
  readonly narrowCents: number;
  readonly narrowReturn: number;
  readonly tiedPrice: number;
  /**
   * Spelling; see `spelling.ts`. The distance from the centre of the music counts to the power of 1.5. Added are prices
   * for each fifth between notes struck together, for each fifth from a sounding note, and for another spelling than
   * before: ever (`spellingChange`), and just now (`spellingJump`, fading), since the note would come back far off.
   */
  readonly spellingSpread: number;
  readonly spellingApart: number;
  readonly spellingHeld: number;
  readonly spellingChange: number;
  readonly spellingJump: number;
  /** Prefers the sharp side: the centre is this many fifths above the mean. */
  readonly fifthsBias: number;
  /** Price of moving a note of the open strike when a later note has it placed again. */
  readonly revisionPrice: number;
  /** The share of one new note in the mean place on the line of fifths. */
  readonly fifthsShare: number;
  /** Price of a cent away from home, in `pull` and `anchored` only. */
  readonly homeLean: number;
}

/** Default weights. */
export const DEFAULT_WEIGHTS: ChoiceWeights = Object.freeze({
  prices: LIVE_PRICES,
  distance: [0.83, 0.71, 0.3, 1.27, 1.12, 0.72, 0.26] as const,
  impure: [1.13, 0, 0, 2.14, 3.07, 0.28, 0] as const,
  strange: 5.46,
  strangeSlope: 0.37,
  highPrime: 1.5,
  recall: 0.26,
  recallSeconds: 3.4,
  held: 1.5,
  pedal: 0.5,
  pedalSeconds: 2,
  returnPrice: 0.7,
  returnSeconds: 5.8,
  returnStep: 0.97,
  returnCents: 13.3,
  narrowCents: 4,
  narrowReturn: 0.8,
  tiedPrice: 0.35,
  spellingSpread: 2,
  spellingApart: 6,
  spellingHeld: 0.5,
  spellingChange: 5,
  spellingJump: 20,
  fifthsBias: 1,
  revisionPrice: 0.8,
  fifthsShare: 0.03,
  homeLean: 0.2,
});

/** Weight of a note only a pedal holds, by the time since its key came up. */
export function toPedalWeight({ pedal, pedalSeconds }: ChoiceWeights, ageSeconds: number): number {
  return pedal * Math.exp(-ageSeconds / pedalSeconds);
}

/**
 * Weight of a note in memory. From `recall` at 0 seconds toward 0; `recallSeconds` later it is 1/e of that.
 * @param ageSeconds how long ago the note ended, 0 or more
 */
export function toRecallWeight({ recall, recallSeconds }: ChoiceWeights, ageSeconds: number): number {
  return recall * Math.exp(-ageSeconds / recallSeconds);
}

/** How much the old place of a key class still matters, by the time since it ended: from 1 to 0. */
export function toFading({ returnSeconds }: ChoiceWeights, ageSeconds: number): number {
  return Math.exp(-ageSeconds / returnSeconds);
}
