import type { ACTION, Action } from '../../core/settings/index.js';
import type { PrimeLimit, Tonic } from '../../core/theory/index.js';
import { DEFAULT_SETTINGS, type Strategy, type TunerSettings, toSettings } from '../../core/tuner/index.js';
import { DEFAULT_BEND_RANGE, type OutletChoice } from '../outlet-choice.js';
import type { MpeInput } from './input-zones.js';
import type { KnobRule } from './knobs.js';
import type { LampConfig } from './lamps.js';
import { NO_DEVIATION, type RoleConfig, type SplitConfig } from './split-settings.js';

export type { Action };

/**
 * A port to be played from. It need not be there yet: it is opened when it appears. Its role is for an input without
 * splits; its other channels pass unchanged, and aren't heard.
 */
export interface InputConfig extends RoleConfig {
  /** The name of the port; rules and outlets name the input by this. */
  readonly port: string;
  /** Whether to make the port, for other programs to send to, rather than wait for an existing one. */
  readonly virtual: boolean;
  /** How far the player's own pitch wheel reaches, in semitones. */
  readonly bendRange: number;
  /** Which of its channels are MPE zones. */
  readonly mpe: MpeInput;
}

/** A port to play to, and how it gets the pitch. */
export interface OutletConfig {
  readonly port: string;
  readonly virtual: boolean;
  readonly kind: OutletChoice['kind'];
  /** Of the receiving synth, in semitones. `undefined` takes the default of the kind; see {@link toBendRange}. */
  readonly bendRange: number | undefined;
  /** For `mpe`: which end of the sixteen channels the zone takes. */
  readonly zone: 'lower' | 'upper';
  /** For `mpe`: how many member channels, 1..15. */
  readonly members: number;
  /** For `multichannel`: the channels 0..15 to use, at least one. `undefined`: all but 9, which is percussion. */
  readonly channels: readonly number[] | undefined;
  /** How long the tail of a released note is protected from bends, in milliseconds. */
  readonly releaseHoldMs: number;
  /** A DIN cable carries 3125 bytes a second, anything else counts as fast. */
  readonly wire: 'fast' | 'din';
  /** What it plays: inputs by the names of their ports, and splits by their names. `undefined`: all. */
  readonly from: readonly string[] | undefined;
}

/** How a foot switch works. `latching`: one press sends 127, the next 0. */
export type FootSwitch = keyof typeof ACTION.switch.words;

/** The foot switch that most are. */
export const DEFAULT_SWITCH: FootSwitch = 'momentary';

/** A hand's or foot's trigger of an action. Its message is not passed on. */
export interface Trigger {
  readonly kind: 'controller' | 'note' | 'program';
  /** The controller, key or program, 0..127. */
  readonly number: number;
  /** Of a controller: whether its switch comes up with the foot or at the next press; by default with the foot. */
  readonly switch?: FootSwitch | undefined;
  /** 0..15; `undefined`: any. */
  readonly channel: number | undefined;
  /** The name of the input's port; `undefined`: any. */
  readonly input: string | undefined;
}

/** One action and its trigger. No two rules of a session match the same message. */
export interface ActionRule {
  readonly on: Trigger;
  readonly action: Action;
  /** The strategy to change to, for `strategy`; `undefined` for every other action. */
  readonly strategy: Strategy | undefined;
  /** The prime limit to change to, for `limit`. */
  readonly limit?: PrimeLimit | undefined;
  /** The tonic to change to, for `tonic`. */
  readonly tonic?: Tonic | undefined;
  /** The name of the preset to load, for `preset`. */
  readonly preset?: string | undefined;
}

/** An action that is asked for, and the value it takes, if any. */
export type Asked = Pick<ActionRule, 'action'> &
  Partial<Pick<ActionRule, 'strategy' | 'limit' | 'tonic' | 'preset'>>;

/** The tuning of another settings file, ready to be loaded while playing. */
export interface Preset {
  /** The name of the file, without folder and ending. */
  readonly name: string;
  readonly tuner: TunerSettings;
  /** The leeway it gives, in cents, as in {@link LiveSettings}. */
  readonly leewayCents: number | undefined;
}

/** All settings of a live session. Frozen; a change makes a new one. */
export interface LiveSettings {
  readonly tuner: TunerSettings;
  /** The leeway the player chose, in cents, for any strategy but `free`; `undefined`: the default of each. */
  readonly leewayCents: number | undefined;
  /** At least one; no two have the same port. */
  readonly inputs: readonly InputConfig[];
  readonly splits: readonly SplitConfig[];
  /** At least one. Outlets on one port have channels of their own there. */
  readonly outlets: readonly OutletConfig[];
  readonly actions: readonly ActionRule[];
  /** Those that actions load; no two have the same name. */
  readonly presets: readonly Preset[];
  readonly knobs: readonly KnobRule[];
  readonly lamps: readonly LampConfig[];
  /** Most messages within a second in one input: above that the rate fuse opens. */
  readonly fuse: number;
  /** How long what is sent waits, so that a chord gathers, in milliseconds: 0 to 20. */
  readonly waitMs: number;
  readonly systemMessages: boolean;
  /** The folder for takes; `undefined`: none. */
  readonly takeDirectory: string | undefined;
}

/** The name of ports this program makes. */
export const DEFAULT_PORT = 'Leeway';

/** The default input: a virtual port. */
export const DEFAULT_INPUT: InputConfig = Object.freeze({
  port: DEFAULT_PORT,
  virtual: true,
  bendRange: 2,
  mpe: 'auto',
  role: 'tuned',
  channels: undefined,
  fixedCents: NO_DEVIATION,
});

/** The default outlet: an MPE lower zone on a virtual port. */
export const DEFAULT_OUTLET: OutletConfig = Object.freeze({
  port: DEFAULT_PORT,
  virtual: true,
  kind: 'mpe',
  bendRange: undefined,
  zone: 'lower',
  members: 15,
  channels: undefined,
  releaseHoldMs: 500,
  wire: 'fast',
  from: undefined,
});

/**
 * Default bend ranges of live playing, in semitones. On plain channels wider than in files: there the range must carry
 * the whole reach of any wheel, beside tuning and drift under every strategy; `headroom.ts` says how much that is. The
 * receiver is told so by RPN 0. Its bends are then a twentieth of a cent apart.
 */
export const LIVE_BEND_RANGE: Readonly<Record<OutletConfig['kind'], number>> = {
  ...DEFAULT_BEND_RANGE,
  multichannel: 4,
};

/**
 * The bend range of an outlet's receiver, in semitones.
 * @example toBendRange({ ...DEFAULT_OUTLET, kind: 'multichannel' })  // 4
 */
export function toBendRange({ kind, bendRange }: OutletConfig): number {
  return bendRange ?? LIVE_BEND_RANGE[kind];
}

/**
 * Default values of a live session; the settings file and the command line start from here. The fuse is above what ten
 * fingers on a controller with a sensor in each key send. A loop is found by its echoes, however little it sends
 * (`echo-watch.ts`).
 */
export const DEFAULT_LIVE_SETTINGS: LiveSettings = Object.freeze({
  tuner: DEFAULT_SETTINGS,
  leewayCents: undefined,
  inputs: Object.freeze([DEFAULT_INPUT]),
  splits: Object.freeze([]),
  outlets: Object.freeze([DEFAULT_OUTLET]),
  actions: Object.freeze([]),
  presets: Object.freeze([]),
  knobs: Object.freeze([]),
  lamps: Object.freeze([]),
  fuse: 8000,
  waitMs: 0,
  systemMessages: true,
  takeDirectory: undefined,
});

/**
 * A tuning under another strategy. The leeway follows the strategy, unless the player chose one.
 * @param leewayCents the player's choice, as in {@link LiveSettings}
 * @example withStrategy(DEFAULT_SETTINGS, 'pull', undefined).leewayCents  // 2
 */
export function withStrategy(
  tuner: TunerSettings,
  strategy: Strategy,
  leewayCents: number | undefined,
): TunerSettings {
  const defaultCents = toSettings({ strategy }).leewayCents;
  return Object.freeze({
    ...tuner,
    strategy,
    leewayCents: strategy === 'free' ? defaultCents : (leewayCents ?? defaultCents),
  });
}

/** Whether two settings agree in everything beside tuning, presets and knobs: these change while notes sound. */
export function hasSameRoute(one: LiveSettings, other: LiveSettings): boolean {
  return toRoute(one) === toRoute(other);
}

function toRoute({
  inputs,
  splits,
  outlets,
  actions,
  lamps,
  fuse,
  waitMs,
  systemMessages,
}: LiveSettings): string {
  return JSON.stringify({ inputs, splits, outlets, actions, lamps, fuse, waitMs, systemMessages });
}
