import { type ReportedSettings, toReportedSettings } from '../core/settings/index.js';
import type { TunerSettings } from '../core/tuner/index.js';

/** The settings of a tuned piece in JSON. */
export interface SettingsReport extends Omit<ReportedSettings, 'leewayCents'> {
  /** Home's pitches of the twelve keys from C, in cents away from 12 equal. */
  readonly homeCents: readonly number[];
  /** null: no bound. */
  readonly leewayCents: number | null;
}

/** @example toSettingsReport(DEFAULT_SETTINGS).tonic  // 'C' */
export function toSettingsReport(settings: TunerSettings): SettingsReport {
  const { limit, home, tonic, a4Hz, strategy, leewayCents, ...rest } = toReportedSettings(settings);
  const homeCents = Array.from({ length: 12 }, (_, keyClass) =>
    round(settings.home.deviationCents[keyClass], 3),
  );
  return {
    limit,
    home,
    tonic,
    homeCents,
    a4Hz,
    strategy,
    leewayCents: Number.isFinite(leewayCents) ? leewayCents : null,
    ...rest,
  };
}

function round(value: number, digits: number): number {
  return Number(value.toFixed(digits)) + 0;
}
