import { FOURTEEN_BIT_MAX } from '../../core/midi/index.js';
import { FOLD_CENTS, toBendCents } from '../../core/outlet/index.js';
import { type PrimeLimit, toReferenceCents } from '../../core/theory/index.js';
import type { TunerSettings } from '../../core/tuner/index.js';
import { type LiveSettings, type OutletConfig, toBendRange, withStrategy } from './live-settings.js';
import { toPlayers } from './split-settings.js';

/** What an outlet may have to bend, against what its bend range carries. In cents, each at its largest. */
export interface Headroom {
  /** What the bend range carries, upward: one step less than its whole. */
  readonly rangeCents: number;
  /** The player's pitch wheel at its full reach; of several inputs, the widest. */
  readonly wheelCents: number;
  /** How far a finger slides: an octave, where the settings say that an input has MPE zones; else 0. */
  readonly slideCents: number;
  /** How far tuning moves a note off its key, without drift. */
  readonly tuningCents: number;
  /** What drift adds to that. New notes are sent on a nearer key, so it is never more than about a semitone. */
  readonly driftCents: number;
  /** What is left; below 0, what is missing. */
  readonly spareCents: number;
  /** The smallest bend range in whole semitones that carries all; `undefined` if it would be beyond 96. */
  readonly wantedRange: number | undefined;
  /** The widest wheel in whole semitones that the present range carries; 0: none. */
  readonly wantedWheel: number;
}

/**
 * How far harmony takes a note from where home has it, in cents, and how far past a semitone a note may be while its
 * strike is placed again with each finger.
 *
 * No theory bounds dense clusters, so these figures are measured, on 50 000 pieces of random playing. Notes were up to 27,
 * 45, 47 and 71 cents from home in the limits 3, 5, 7 and 13. Under unlimited drift they were up to 61, 61 and 70 past a
 * semitone in 5, 7 and 13. (`headroom.test.ts` plays some of them.)
 */
const HARMONY_CENTS: Readonly<Record<PrimeLimit, number>> = { 3: 30, 5: 50, 7: 50, 11: 75, 13: 75 };
const REVISION_CENTS: Readonly<Record<PrimeLimit, number>> = { 3: 30, 5: 65, 7: 65, 11: 75, 13: 75 };

/** How far a finger is reckoned to slide, in semitones. Its range is 48, but hands seldom go beyond an octave. */
const SLIDE_SEMITONES = 12;

/** What the widest range carries a semitone, upward. */
const SEMITONE_CENTS = toBendCents(FOURTEEN_BIT_MAX, 1);
const WIDEST_RANGE = 96;

/**
 * Whether wheel, tuning and drift fit an outlet's bend range together. Also counts what the session's actions can change:
 * the strategy, the prime limit, a held drift; and whatever presets and knobs can set.
 *
 * Two things aren't counted, since nothing bounds them. Going home after a long drift takes held notes along by all of
 * it. So does `pull` with a note that is held for long: at 3 cents a second it takes over half a minute to matter.
 *
 * @returns `undefined` where nothing is bent: the wheel goes to the receiver's own bend
 * @example
 * const headroom = toHeadroom(DEFAULT_LIVE_SETTINGS, { ...DEFAULT_OUTLET, kind: 'multichannel', bendRange: 3 });
 * headroom.spareCents  // 41.99: 299.96 of range, less 199.98 of wheel, 50 of tuning and 8 of drift
 */
export function toHeadroom(
  settings: Pick<LiveSettings, 'tuner' | 'inputs' | 'splits' | 'actions' | 'presets' | 'knobs'>,
  outlet: OutletConfig,
): Headroom | undefined {
  if (outlet.kind === 'mts') return undefined;
  const { actions } = settings;
  const range = toBendRange(outlet);
  const inputs = toPlayed(settings, outlet);
  const wheel = Math.max(0, ...inputs.map(({ bendRange }) => bendRange));
  const slide = inputs.some(({ mpe }) => mpe !== 'auto' && mpe !== 'off') ? SLIDE_SEMITONES : 0;
  const tuners = toReachable(settings);
  const limits = [...tuners, ...actions].map(({ limit = tuners[0].limit }) => limit);
  const highest = Math.max(...limits) as PrimeLimit;
  const limit = actions.some(({ action }) => action === 'limit-up') ? 13 : highest;
  // Farther off, a new note is sent on the next key, where it is nearer.
  const most = FOLD_CENTS + REVISION_CENTS[limit];
  const tuningCents = Math.min(Math.max(...tuners.map((one) => toTuningCents(one, limit))), most);
  const isBounded = tuners.every((one) => isDriftBounded(one, actions));
  const leewayCents = Math.max(...tuners.map((one) => one.leewayCents));
  const driftCents = Math.min(isBounded ? leewayCents : most, most - tuningCents);
  const needed = (tuningCents + driftCents) / SEMITONE_CENTS;
  const wantedRange = Math.ceil(needed + wheel + slide);
  return {
    rangeCents: range * SEMITONE_CENTS,
    wheelCents: wheel * SEMITONE_CENTS,
    slideCents: slide * SEMITONE_CENTS,
    tuningCents,
    driftCents,
    spareCents: (range - wheel - slide - needed) * SEMITONE_CENTS,
    wantedRange: wantedRange > WIDEST_RANGE ? undefined : wantedRange,
    wantedWheel: Math.max(0, Math.floor(range - needed)),
  };
}

/** The headroom of every outlet in JSON, `null` where nothing is bent; cents to a hundredth. */
export function toHeadroomJson(settings: LiveSettings) {
  const round = (cents: number) => Math.round(100 * cents) / 100;
  return settings.outlets.map((outlet) => {
    const headroom = toHeadroom(settings, outlet);
    if (headroom === undefined) return null;
    const { rangeCents, wheelCents, slideCents, tuningCents, driftCents, spareCents } = headroom;
    const { wantedRange, wantedWheel } = headroom;
    return {
      port: outlet.port,
      fits: spareCents >= 0,
      rangeCents: round(rangeCents),
      wheelCents: round(wheelCents),
      slideCents: round(slideCents),
      tuningCents: round(tuningCents),
      driftCents: round(driftCents),
      spareCents: round(spareCents),
      wantedRange: wantedRange ?? null,
      wantedWheel,
    };
  });
}

/** The inputs that an outlet plays. */
function toPlayed(
  { inputs, splits }: Pick<LiveSettings, 'inputs' | 'splits'>,
  outlet: OutletConfig,
): LiveSettings['inputs'] {
  const players = toPlayers(inputs, splits, outlet).map(({ input }) => input);
  return inputs.filter(({ port }) => players.includes(port));
}

/** The tuning, every preset, and each of them with each knob at either end. */
function toReachable({
  tuner,
  presets,
  knobs,
}: Pick<LiveSettings, 'tuner' | 'presets' | 'knobs'>): TunerSettings[] {
  const tuners = [tuner, ...presets.map((preset) => preset.tuner)];
  const turned = knobs.flatMap(({ sets, least, most }) =>
    [least, most].flatMap((value) => {
      if (sets === 'a4') return tuners.map((one) => ({ ...one, referenceCents: toReferenceCents(value) }));
      return sets === 'leeway' ? tuners.map((one) => withStrategy(one, one.strategy, value)) : [];
    }),
  );
  return [...tuners, ...turned];
}

/** Home and A off 12 equal at 440 Hz, and harmony off home. */
function toTuningCents({ home, referenceCents }: TunerSettings, limit: PrimeLimit): number {
  const off = home.deviationCents.map((cents) => Math.abs(cents + referenceCents));
  return Math.max(...off) + HARMONY_CENTS[limit];
}

/** Whether a note is always about as near home as the leeway says. */
function isDriftBounded({ strategy, held }: TunerSettings, actions: LiveSettings['actions']): boolean {
  const changes = actions.some(
    (rule) =>
      rule.action === 'next-strategy' ||
      rule.action === 'hold-drift' ||
      rule.strategy === 'free' ||
      rule.strategy === 'pull',
  );
  // Tempered notes that hold their pitch take the new ones along.
  return !changes && (strategy === 'anchored' || (strategy === 'temper' && held === 'follow'));
}
