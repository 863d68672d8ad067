import * as v from 'valibot';
import {
  type ReportedSettings,
  type ReportedValue,
  type Setting,
  TUNER,
  toPrimes,
  toWords,
} from '../settings/index.js';
import { AmountSchema, TextSchema, within } from './values.js';

type Tuner = typeof TUNER;

/** The settings with a control on the page, except the leeways, one for each strategy. */
type Controlled = { [K in keyof Tuner]: Tuner[K] extends { page: unknown } ? K : never }[keyof Tuner];

type ControlSchema<K extends string, V> = v.StrictObjectSchema<
  {
    type: v.LiteralSchema<'control', undefined>;
    what: v.LiteralSchema<K, undefined>;
    value: v.GenericSchema<V>;
  },
  undefined
>;

type Controls = {
  [K in Exclude<Controlled, 'leeway'>]: ControlSchema<K, Exclude<ReportedValue<Tuner[K]>, 'list'>>;
}[Exclude<Controlled, 'leeway'>][];

/** The leeway of each strategy that has one. */
type Leeways = { pull: number; anchored: number };

type Facts = {
  [F in keyof ReportedSettings]: v.GenericSchema<F extends 'leewayCents' ? Leeways : ReportedSettings[F]>;
};

const LeewaySchema = v.object({ pull: AmountSchema, anchored: AmountSchema });

/** The fields of the settings fact, one for each setting of the tuner. */
export const SETTING_FACTS = Object.fromEntries(
  Object.entries<Setting>(TUNER).map(([key, setting]) => [
    setting.field ?? key,
    key === 'leeway' ? LeewaySchema : toFactSchema(setting),
  ]),
) as Facts;

/** A control message for each setting the page may change. */
export const SETTING_CONTROLS = Object.entries<Setting>(TUNER)
  .filter(([key, { page }]) => page !== undefined && key !== 'leeway')
  .map(([what, setting]) =>
    v.strictObject({ type: v.literal('control'), what: v.literal(what), value: toAskedSchema(setting) }),
  ) as v.GenericSchema[] as Controls;

function toAskedSchema(setting: Setting): v.GenericSchema {
  switch (setting.kind) {
    case 'tonic':
      return v.pipe(v.string(), v.regex(/^[A-G](##?|bb?|♯♯?|♭♭?)?$/));
    case 'number':
    case 'pitch':
      return within(setting);
    case 'scale':
      return v.picklist(Object.keys(setting.names));
    default:
      return toFactSchema(setting);
  }
}

function toFactSchema(setting: Setting): v.GenericSchema {
  switch (setting.kind) {
    case 'word':
      return v.picklist(toWords(setting));
    case 'prime':
      return v.picklist(toPrimes(setting));
    case 'scale':
      return v.picklist([...Object.keys(setting.names), 'list']);
    case 'tonic':
      return TextSchema;
    default:
      return AmountSchema;
  }
}
