/** Every setting: its key, its values, what it does, and where it may be given. Data alone, for page and program. */

export type { HomeScale, Kind, NumberRange, ValueOf, Words } from './kinds.js';
export { amount, toPrimes, toWords, whole } from './kinds.js';
export { KNOB, LAMP } from './knob-lamp.js';
export { ACTION, INPUT, LIVE, OUTLET, SPLIT } from './live.js';
export { type ReportedSettings, type ReportedValue, toReportedSettings } from './reported.js';
export { ROLE, TRACK } from './role.js';
export {
  type FieldName,
  type Fields,
  SECTIONS,
  SETTINGS,
  type Section,
  type SectionName,
  toField,
  toFields,
  type Values,
} from './sections.js';
export type { Action, Beside, Setting, SettingsCommand, Table } from './setting.js';
export { PLAN, TUNER } from './tuning.js';
