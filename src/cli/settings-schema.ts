import * as v from 'valibot';
import { STRATEGIES } from '../core/tuner/index.js';
import { ACTIONS, ENDS, HELD, OUTLETS, PLANS, WIRES, ZONES } from './choices.js';
import { RANGES } from './ranges.js';
import {
  readChannel,
  readChannels,
  readKey,
  readPort,
  readPorts,
  readProgram,
  readSwitch,
  readText,
} from './read-port-values.js';
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
    recall: readBareNumber(RANGES.recall),
    held: readWord(HELD),
    glide: readBareNumber(RANGES.glide),
    'strike-window': readBareNumber(RANGES['strike-window']),
    plan: readWord(PLANS),
    end: readWord(ENDS),
    smooth: readBareNumber(RANGES.smooth),
  },
  input: {
    port: readPort,
    virtual: readSwitch,
    channels: readChannels(true),
    'bend-range': readBareNumber(RANGES['bend-range']),
  },
  outlet: {
    port: readPort,
    virtual: readSwitch,
    kind: readWord(OUTLETS),
    'bend-range': readBareNumber(RANGES['bend-range']),
    zone: readWord(ZONES),
    members: readBareNumber(RANGES.members),
    channels: readChannels(false),
    'release-hold': readBareNumber(RANGES['release-hold']),
    wire: readWord(WIRES),
    from: readPorts,
  },
  action: {
    controller: readBareNumber(RANGES.controller),
    note: readKey,
    program: readProgram,
    channel: readChannel,
    input: readPort,
    do: readWord(ACTIONS),
    strategy: readWord(STRATEGIES),
  },
  live: {
    fuse: readBareNumber(RANGES.fuse),
    'pass-system': readSwitch,
    take: readText('the path of a folder'),
  },
} as const;

/** Tables a file may have several of, each headed in double brackets. A single one may stand in single brackets. */
export const LIST_TABLES: readonly string[] = ['input', 'outlet', 'action'];

/**
 * A settings file, its values read; tables of {@link LIST_TABLES} as a list, always. Strict: a key that isn't known is a
 * mistake.
 */
export const SettingsSchema = v.strictObject({
  tuning: v.optional(table(SETTINGS.tuning)),
  input: v.optional(v.array(table(SETTINGS.input))),
  outlet: v.optional(v.array(table(SETTINGS.outlet))),
  action: v.optional(v.array(table(SETTINGS.action))),
  live: v.optional(table(SETTINGS.live)),
});

/** What a settings file says. What isn't there is left at its stock value. */
export type Settings = v.InferOutput<typeof SettingsSchema>;
export type InputTable = NonNullable<Settings['input']>[number];
export type OutletTable = NonNullable<Settings['outlet']>[number];
export type ActionTable = NonNullable<Settings['action']>[number];

type Values<T extends Readonly<Record<string, Reader<unknown>>>> = {
  -readonly [K in keyof T]: ReturnType<typeof value<T[K] extends Reader<infer V> ? V : never>>;
};

function table<T extends Readonly<Record<string, Reader<unknown>>>>(readers: T) {
  const entries = Object.entries(readers).map(([key, read]) => [key, value(read)]);
  return v.strictObject(Object.fromEntries(entries) as Values<T>);
}

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
