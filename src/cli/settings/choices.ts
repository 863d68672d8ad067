import { DEFAULT_OUTLET } from '../../app/live/live-settings.js';
import type { OutletChoice } from '../../app/outlet-choice.js';
import { DEFAULT_PLAN, type Planning } from '../../core/score/index.js';
import {
  OUTLET,
  PLAN,
  SETTINGS,
  type SectionName,
  type Setting,
  type Table,
  TUNER,
  toFields,
  type Values,
} from '../../core/settings/index.js';
import { toHome, toReferenceCents } from '../../core/theory/index.js';
import { DEFAULT_SETTINGS, type TunerSettings, toSettings } from '../../core/tuner/index.js';
import type { Settings } from './read-document.js';

/** The tuning and the outlet of `retune`, `explain` and `compare`, by the keys of a file. */
export interface Choices {
  readonly tuning: Values<typeof SETTINGS.tuning>;
  readonly outlet: Values<typeof OUTLET>;
}

/** No choices. */
export const NO_CHOICES: Choices = { tuning: {}, outlet: {} };

/** The default planning of a file. */
export const DEFAULT_PLAN_KIND = 'whole';

/** A settings file's choices of tuning and of its first outlet. */
export function toChoices({ tuning = {}, outlet = [] }: Settings): Choices {
  return { tuning, outlet: outlet[0] ?? {} };
}

/** Merges choices: the first win over the second. */
export function overlay(first: Choices, second: Choices): Choices {
  return {
    tuning: { ...second.tuning, ...withoutOpen(first.tuning) },
    outlet: overlayOutlet(first.outlet, second.outlet),
  };
}

/** As {@link overlay}. With another kind of outlet in the first, the second's choices are dropped. */
export function overlayOutlet<T extends Choices['outlet']>(first: Choices['outlet'], second: T): T {
  const { kind = DEFAULT_OUTLET.kind } = second;
  const given = withoutOpen(first);
  if (first.kind === undefined || first.kind === kind) return { ...second, ...given };
  const { 'bend-range': _range, zone: _zone, members: _members, channels: _channels, ...rest } = second;
  return { ...rest, ...given } as T;
}

/**
 * The tuner's settings with defaults. `free` and `temper` have fixed leeways, whatever was chosen.
 * @example toTunerSettings({ strategy: 'pull' }).leewayCents  // 2
 */
export function toTunerSettings(tuning: Values<typeof TUNER>): TunerSettings {
  const { home = { kind: 'equal' }, tonic, a4Hz, leewayCents, ...fields } = toFields(TUNER, tuning);
  const hasLeeway = leewayCents !== undefined && fields.strategy !== 'free' && fields.strategy !== 'temper';
  return toSettings({
    ...fields,
    ...(hasLeeway ? { leewayCents } : {}),
    home: toHome({ ...home, tonic: tonic ?? DEFAULT_SETTINGS.home.tonic }),
    referenceCents: a4Hz === undefined ? DEFAULT_SETTINGS.referenceCents : toReferenceCents(a4Hz),
  });
}

/**
 * The planning of a file: whole, unless the live rule was chosen.
 * @example toPlanning({ end: 'home' })    // { end: 'home', smoothSeconds: 200 }
 * @example toPlanning({ plan: 'live' })   // 'live'
 */
export function toPlanning(tuning: Values<typeof PLAN>): Planning {
  const { plan = DEFAULT_PLAN_KIND, ...fields } = toFields(PLAN, tuning);
  return plan === 'live' ? 'live' : { ...DEFAULT_PLAN, ...fields };
}

/**
 * The outlet: the choices that its kind uses.
 * @example toOutletChoice({ kind: 'mpe', members: 5, channels: [0, 1] })  // { kind: 'mpe', bendRange: undefined, members: 5 }
 */
export function toOutletChoice(outlet: Choices['outlet']): OutletChoice {
  const { kind = DEFAULT_OUTLET.kind } = outlet;
  const isUseful = ([key]: [string, unknown]) => (OUTLET as Table)[key].only?.is.includes(kind) === true;
  const useful: Choices['outlet'] = Object.fromEntries(Object.entries(outlet).filter(isUseful));
  return { bendRange: undefined, ...toFields(OUTLET, useful), kind };
}

/**
 * Sentences about given choices without effect beside the others.
 * @param given the choices to remark on: of the command line, or of a settings file
 * @param all   the same over the settings file
 * @param style the names of choices: options or keys of a settings file
 */
export function toRemarks(given: Choices, all: Choices, style: 'option' | 'key' = 'option'): string[] {
  const { strategy = DEFAULT_SETTINGS.strategy } = all.tuning;
  const { kind = DEFAULT_OUTLET.kind } = all.outlet;
  const beside: Readonly<Record<string, string>> = { strategy, kind };
  return (['tuning', 'outlet'] as const).flatMap((section) =>
    Object.entries<Setting>(SETTINGS[section]).flatMap(([key, { idle = [] }]) => {
      if ((given[section] as Values<Table>)[key] === undefined) return [];
      return idle
        .filter((one) => one.is.includes(beside[one.key]))
        .map(({ key: other, why }) => {
          const value = beside[other];
          if (style === 'key') return `${key} has no effect with ${other} = "${value}"${why}`;
          return `--${key} has no effect with ${toFlag(section, other)} ${value}${why}`;
        });
    }),
  );
}

/** A setting's option. @example toFlag('outlet', 'kind')  // '--outlet' */
export function toFlag(section: SectionName, key: string): string {
  const { option } = (SETTINGS[section] as Table)[key];
  return `--${option?.name ?? key}`;
}

function withoutOpen<T extends object>(values: T): { [K in keyof T]: NonNullable<T[K]> } {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]: NonNullable<T[K]>;
  };
}
