import * as v from 'valibot';
import { HELD, OUTLETS, STRATEGIES } from './choices.js';
import { RANGES } from './ranges.js';
import {
  type Reader,
  readA4,
  readBareNumber,
  readHome,
  readLimit,
  readTonic,
  readWord,
} from './read-values.js';

/** How each key of each table is read. */
export const SETTINGS = {
  tuning: {
    limit: readLimit,
    home: readHome,
    tonic: readTonic,
    a4: readA4,
    strategy: readWord(STRATEGIES),
    leeway: readBareNumber(RANGES.leeway),
    rate: readBareNumber(RANGES.rate),
    held: readWord(HELD),
    glide: readBareNumber(RANGES.glide),
    'strike-window': readBareNumber(RANGES['strike-window']),
  },
  outlet: {
    kind: readWord(OUTLETS),
    'bend-range': readBareNumber(RANGES['bend-range']),
  },
} as const;

/** A settings file, its values read. Strict: a key that isn't known is a mistake. */
export const SettingsSchema = v.strictObject({
  tuning: v.optional(
    v.strictObject({
      limit: value(SETTINGS.tuning.limit),
      home: value(SETTINGS.tuning.home),
      tonic: value(SETTINGS.tuning.tonic),
      a4: value(SETTINGS.tuning.a4),
      strategy: value(SETTINGS.tuning.strategy),
      leeway: value(SETTINGS.tuning.leeway),
      rate: value(SETTINGS.tuning.rate),
      held: value(SETTINGS.tuning.held),
      glide: value(SETTINGS.tuning.glide),
      'strike-window': value(SETTINGS.tuning['strike-window']),
    }),
  ),
  outlet: v.optional(
    v.strictObject({
      kind: value(SETTINGS.outlet.kind),
      'bend-range': value(SETTINGS.outlet['bend-range']),
    }),
  ),
});

function value<T>(read: Reader<T>) {
  return v.optional(
    v.pipe(
      v.unknown(),
      v.rawTransform<unknown, T>(({ dataset, addIssue, NEVER }) => {
        const outcome = read(dataset.value);
        if (outcome.ok) return outcome.value;
        addIssue({ message: outcome.problem.message });
        return NEVER;
      }),
    ),
  );
}
