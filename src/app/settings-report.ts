import { formatPlace } from '../core/theory/index.js';
import type { TunerSettings } from '../core/tuner/index.js';

/** The settings a piece was tuned with, as they stand in JSON. */
export interface SettingsReport {
  readonly limit: number;
  readonly home: string;
  readonly tonic: string;
  /** Where home has the twelve keys from C, in cents away from 12 equal. */
  readonly homeCents: readonly number[];
  readonly a4Hz: number;
  readonly strategy: string;
  /** null: no bound. */
  readonly leewayCents: number | null;
  readonly rateCentsPerSecond: number;
  readonly recallCents: number;
  readonly held: string;
  readonly glideMs: number;
  readonly strikeWindowMs: number;
}

/** @example toSettingsReport(STOCK_SETTINGS).tonic  // 'C' */
export function toSettingsReport(settings: TunerSettings): SettingsReport {
  const { home, leewayCents } = settings;
  return {
    limit: settings.limit,
    home: home.kind,
    tonic: toTonicName(settings),
    homeCents: Array.from({ length: 12 }, (_, keyClass) => round(home.deviationCents[keyClass], 3)),
    a4Hz: toA4Hz(settings),
    strategy: settings.strategy,
    leewayCents: Number.isFinite(leewayCents) ? leewayCents : null,
    rateCentsPerSecond: settings.rateCentsPerSecond,
    recallCents: settings.recallCents,
    held: settings.held,
    glideMs: settings.glideMs,
    strikeWindowMs: settings.strikeWindowMs,
  };
}

/** What the tonic of home is called. @example toTonicName(toSettings({}))  // 'C' */
export function toTonicName({ home }: TunerSettings): string {
  return formatPlace(home.tonic.fifths);
}

/** The pitch of a' the settings ask for, in hertz, to a thousandth. @example toA4Hz(STOCK_SETTINGS)  // 440 */
export function toA4Hz({ referenceCents }: TunerSettings): number {
  return round(440 * 2 ** (referenceCents / 1200), 3);
}

function round(value: number, digits: number): number {
  return Number(value.toFixed(digits)) + 0;
}
