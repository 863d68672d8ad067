import { type Action, type OutletConfig, STOCK_OUTLET } from '../app/live/live-settings.js';
import type { OutletChoice } from '../app/outlet-choice.js';
import { type Planning, type PlanWish, STOCK_PLAN } from '../core/score/index.js';
import { type PrimeLimit, type Tonic, toHome, toReferenceCents } from '../core/theory/index.js';
import { STOCK_SETTINGS, type Strategy, type TunerSettings, toSettings } from '../core/tuner/index.js';
import type { HomeWish } from './read-values.js';

/** The words the choices are made of, in the order they are listed. */
export const HELD: readonly TunerSettings['held'][] = ['follow', 'stay'];
/** The first is the default. */
export const PLANS: readonly ('whole' | 'live')[] = ['whole', 'live'];
export const ENDS: readonly PlanWish['end'][] = ['open', 'home'];
export const OUTLETS: readonly OutletChoice['kind'][] = ['mpe', 'multichannel', 'mts'];
export const ZONES: readonly OutletConfig['zone'][] = ['lower', 'upper'];
export const WIRES: readonly OutletConfig['wire'][] = ['fast', 'din'];
export const ACTIONS: readonly Action[] = [
  'home-now',
  'home-next',
  'panic',
  'next-strategy',
  'strategy',
  'tonic-from-bass',
  'limit-up',
  'limit-down',
  'hold-drift',
  'bypass',
];

/** What a user has chosen, on the command line or in a settings file. What isn't there is left at its stock value. */
export interface Choices {
  readonly strategy?: Strategy | undefined;
  readonly leewayCents?: number | undefined;
  readonly rateCentsPerSecond?: number | undefined;
  readonly recallCents?: number | undefined;
  readonly held?: TunerSettings['held'] | undefined;
  readonly limit?: PrimeLimit | undefined;
  readonly home?: HomeWish | undefined;
  readonly tonic?: Tonic | undefined;
  readonly a4Hz?: number | undefined;
  readonly glideMs?: number | undefined;
  readonly strikeWindowMs?: number | undefined;
  readonly plan?: 'whole' | 'live' | undefined;
  readonly end?: PlanWish['end'] | undefined;
  readonly smoothSeconds?: number | undefined;
  readonly outlet?: OutletChoice['kind'] | undefined;
  readonly bendRange?: number | undefined;
  readonly zone?: OutletConfig['zone'] | undefined;
  readonly members?: number | undefined;
  readonly channels?: readonly number[] | undefined;
  readonly releaseHoldMs?: number | undefined;
}

/** Choices laid over others: what the first leave open, the second decide. */
export function overlay(first: Choices, second: Choices): Choices {
  return { ...second, ...withoutOpen(first) };
}

/**
 * The tuner's settings, stock values filled in. `free` and `temper` have a leeway of their own, whatever was chosen.
 * @example toTunerSettings({ strategy: 'pull' }).leewayCents  // 2
 */
export function toTunerSettings(choices: Choices): TunerSettings {
  const { limit, strategy, rateCentsPerSecond, recallCents, held, glideMs, strikeWindowMs, a4Hz } = choices;
  const leewayCents = strategy === 'free' || strategy === 'temper' ? undefined : choices.leewayCents;
  const wish = choices.home ?? { kind: 'equal' };
  const tonic = choices.tonic ?? STOCK_SETTINGS.home.tonic;
  return toSettings({
    ...withoutOpen({
      limit,
      strategy,
      leewayCents,
      rateCentsPerSecond,
      recallCents,
      held,
      glideMs,
      strikeWindowMs,
    }),
    home: toHome({ ...wish, tonic }),
    referenceCents: a4Hz === undefined ? STOCK_SETTINGS.referenceCents : toReferenceCents(a4Hz),
  });
}

/**
 * How a file is planned: as a whole, unless the live rule was chosen.
 * @example toPlanning({ end: 'home' })    // { end: 'home', smoothSeconds: 200 }
 * @example toPlanning({ plan: 'live' })   // 'live'
 */
export function toPlanning({ plan = PLANS[0], end, smoothSeconds }: Choices): Planning {
  return plan === 'live' ? 'live' : { ...STOCK_PLAN, ...withoutOpen({ end, smoothSeconds }) };
}

/**
 * The same choices, where the notes are to travel another way than they say: what they say of their own way falls away.
 * @param kind the way that is wanted; `undefined`: as the choices say
 * @example forOutlet({ outlet: 'multichannel', bendRange: 12 }, 'mpe').bendRange  // undefined: MPE's own
 */
export function forOutlet(choices: Choices, kind: OutletChoice['kind'] | undefined): Choices {
  if (kind === undefined || kind === (choices.outlet ?? STOCK_OUTLET.kind)) return choices;
  return { ...choices, bendRange: undefined, zone: undefined, members: undefined, channels: undefined };
}

/**
 * How the notes travel: of what was chosen, what the kind has a use for.
 * @example toOutletChoice({ outlet: 'mpe', members: 5, channels: [0, 1] })  // { kind: 'mpe', bendRange: undefined, members: 5 }
 */
export function toOutletChoice(choices: Choices): OutletChoice {
  const { outlet: kind = STOCK_OUTLET.kind, bendRange, zone, members, channels, releaseHoldMs } = choices;
  switch (kind) {
    case 'mpe':
      return { kind, bendRange, ...withoutOpen({ zone, members, releaseHoldMs }) };
    case 'multichannel':
      return { kind, bendRange, ...withoutOpen({ channels, releaseHoldMs }) };
    case 'mts':
      return { kind, bendRange: undefined };
  }
}

/**
 * Sentences about choices that were given and have no effect beside the others.
 * @param given what is to be remarked on: what stood on the command line, or in a settings file
 * @param all   the same over the settings file
 * @param style how choices are called: as options or as keys of a settings file
 */
export function toRemarks(given: Choices, all: Choices, style: 'option' | 'key' = 'option'): string[] {
  const strategy = all.strategy ?? STOCK_SETTINGS.strategy;
  const remarks: string[] = [];
  const idle = (name: string, beside: string, word: string, why: string) => {
    const what = style === 'option' ? `--${name}` : name;
    const cause = style === 'option' ? `--${beside} ${word}` : `${beside} = "${word}"`;
    remarks.push(`${what} has no effect with ${cause}${why}`);
  };
  if (given.leewayCents !== undefined && strategy === 'free')
    idle('leeway', 'strategy', strategy, ', which never brings the pitch back');
  if (given.leewayCents !== undefined && strategy === 'temper')
    idle('leeway', 'strategy', strategy, ', which shares out what is amiss at every strike');
  if (given.plan === 'whole' && strategy === 'temper')
    idle('plan', 'strategy', strategy, ', which makes every interval the same, whatever its ratio');
  if (given.smoothSeconds !== undefined && strategy !== 'anchored')
    idle('smooth', 'strategy', strategy, '; it is for anchored');
  if (given.rateCentsPerSecond !== undefined && strategy !== 'pull')
    idle('rate', 'strategy', strategy, '; it is the speed of pull');
  if (given.held !== undefined && strategy === 'free')
    idle('held', 'strategy', strategy, ', which never moves a held note');
  if (given.bendRange !== undefined && all.outlet === 'mts')
    idle('bend-range', 'outlet', all.outlet, ', which sends no bends');
  return remarks;
}

/** The same object without the fields that are undefined. */
function withoutOpen<T extends object>(choices: T): { [K in keyof T]: NonNullable<T[K]> } {
  return Object.fromEntries(Object.entries(choices).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: NonNullable<T[K]>;
  };
}
