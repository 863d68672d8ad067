import { formatPlace } from '../theory/index.js';
import type { TunerSettings } from '../tuner/index.js';
import type { ValueOf } from './kinds.js';
import { type FieldName, toField } from './sections.js';
import { TUNER } from './tuning.js';

type Tuner = typeof TUNER;

/** The reported form of a value: a tonic by its name, a home scale by its kind. */
export type ReportedValue<S> = S extends { kind: 'tonic' }
  ? string
  : S extends { kind: 'scale'; names: infer N }
    ? (keyof N & string) | 'list'
    : ValueOf<S>;

/** The reported settings of a tuner, by their names in code. */
export type ReportedSettings = { [K in keyof Tuner as FieldName<Tuner, K>]: ReportedValue<Tuner[K]> };

/**
 * The settings of a tuner for reports and viewers: in the order of the table, A in hertz to a thousandth.
 * @example toReportedSettings(DEFAULT_SETTINGS).leewayCents  // 8
 */
export function toReportedSettings(settings: TunerSettings): ReportedSettings {
  const converted: Partial<ReportedSettings> = {
    home: settings.home.kind,
    tonic: formatPlace(settings.home.tonic.fifths),
    a4Hz: Number((440 * 2 ** (settings.referenceCents / 1200)).toFixed(3)),
  };
  const values = new Map<string, unknown>([...Object.entries(settings), ...Object.entries(converted)]);
  const fields = (Object.keys(TUNER) as (keyof Tuner)[]).map((key) => toField(TUNER, key));
  return Object.fromEntries(fields.map((field) => [field, values.get(field)])) as ReportedSettings;
}
