import type { KnobRule } from '../../app/live/knobs.js';
import { DEFAULT_LAMP, type LampConfig } from '../../app/live/lamps.js';
import {
  type ActionRule,
  DEFAULT_INPUT,
  DEFAULT_LIVE_SETTINGS,
  DEFAULT_OUTLET,
  type InputConfig,
  type LiveSettings,
  type OutletConfig,
  type Preset,
} from '../../app/live/live-settings.js';
import { DEFAULT_SPLIT, type SplitConfig } from '../../app/live/split-settings.js';
import { type Action, INPUT, LAMP, LIVE, OUTLET, SPLIT, toFields } from '../../core/settings/index.js';
import { formatPlace, parseTonic } from '../../core/theory/index.js';
import { type Choices, overlayOutlet, toRemarks, toTunerSettings } from './choices.js';
import { TRIGGERS, toWantedPort } from './conflicts.js';
import type { PresetTable } from './presets.js';
import type { Settings } from './read-document.js';
import { toKnobEnds, toLampPort, toPresetName } from './surface-conflicts.js';
import { toFixedCents } from './track-roles.js';

type InputTable = NonNullable<Settings['input']>[number];
type OutletTable = NonNullable<Settings['outlet']>[number];
type ActionTable = NonNullable<Settings['action']>[number];
type KnobTable = NonNullable<Settings['knob']>[number];
type LampTable = NonNullable<Settings['lamp']>[number];

type SplitTable = NonNullable<Settings['split']>[number];

/** A port named on the command line. */
export interface NamedPort {
  readonly port: string;
  readonly virtual: boolean;
}

/** The command line's choices for a live session, beside the tuning. */
export interface LiveChoices {
  /** Empty: those of the settings file. */
  readonly inputs: readonly NamedPort[];
  readonly outlets: readonly NamedPort[];
  readonly take: string | undefined;
}

/** Settings, and sentences on those without effect. */
export interface LiveGathering {
  readonly settings: LiveSettings;
  readonly remarks: readonly string[];
}

/** No choices for a live session. */
export const NO_LIVE_CHOICES: LiveChoices = { inputs: [], outlets: [], take: undefined };

/**
 * The settings of a live session: the command line, over the settings file, over the defaults.
 *
 * Ports of the command line replace those of the file, inputs and outlets separately; one that the file has too has its
 * settings there. A single outlet of the file gives its settings to any port named instead of it. Settings for inputs
 * that no longer exist are dropped, with a remark.
 *
 * @param file    a settings file without mistakes
 * @param line    the ports of the command line
 * @param given   its tuning and outlets
 * @param choices the same over the file
 * @param presets those that actions of the file load; what they leave out is as in `choices`
 */
export function toLiveSettings(
  file: Settings,
  line: LiveChoices,
  given: Choices,
  choices: Choices,
  presets: readonly PresetTable[] = [],
): LiveGathering {
  const remarks: string[] = [];
  const inputs = namePorts(line.inputs, file.input ?? [{}], {}).map(toInputConfig);
  const names = inputs.map(({ port }) => port);
  const inFile = file.outlet ?? [{}];
  const splits = (file.split ?? [])
    .map((table) => toSplitConfig(table, inputs))
    .filter((split) => isSplitKept(split, names, remarks));
  const players = [...names, ...splits.map(({ name }) => name)];
  const outlets = namePorts(line.outlets, inFile, inFile.length === 1 ? inFile[0] : {})
    .map((outlet) => toOutletConfig(overlayOutlet(given.outlet, outlet)))
    .map((outlet) => keepInputs(outlet, players, remarks));
  const actions = (file.action ?? []).map(toActionRule);
  const knobs = (file.knob ?? []).map(toKnobRule);
  for (const { on } of actions) {
    if (on.input !== undefined && !names.includes(on.input))
      remarks.push(`nothing asks for an action on "${on.input}", which is not among the inputs`);
  }
  for (const { input } of knobs) {
    if (input !== undefined && !names.includes(input))
      remarks.push(`no knob is turned on "${input}", which is not among the inputs`);
  }
  const settings = Object.freeze({
    ...DEFAULT_LIVE_SETTINGS,
    ...toFields(LIVE, { ...file.live, ...(line.take === undefined ? {} : { take: line.take }) }),
    tuner: toTunerSettings(choices.tuning),
    leewayCents: choices.tuning.leeway,
    inputs: Object.freeze(inputs),
    splits: Object.freeze(splits),
    outlets: Object.freeze(outlets),
    actions: Object.freeze(actions),
    presets: Object.freeze(presets.map((preset) => toPreset(preset, choices))),
    knobs: Object.freeze(knobs),
    lamps: Object.freeze((file.lamp ?? []).map(toLampConfig)),
  });
  return { settings, remarks: [...new Set(remarks)] };
}

/**
 * As `toRemarks`, for a live session. If the player can change the strategy, settings unused by one strategy are not
 * remarked on, since another may use them.
 */
export function toIdleRemarks(
  { outlets, actions }: LiveSettings,
  given: Choices,
  all: Choices,
  style: 'option' | 'key',
): string[] {
  const changes = actions.some(({ action }) => CHANGES.includes(action));
  const kind = outlets.find((one) => one.kind !== 'mts')?.kind ?? 'mts';
  return toRemarks(changes ? { ...given, tuning: {} } : given, { ...all, outlet: { kind } }, style);
}

/** The actions that may change the strategy. */
const CHANGES: readonly Action[] = ['strategy', 'next-strategy', 'preset'];

function toInputConfig(table: InputTable): InputConfig {
  const { scale: _scale, tonic: _tonic, a4Hz: _a4Hz, ...fields } = toFields(INPUT, table);
  const fixedCents = toFixedCents(table);
  return Object.freeze({ ...DEFAULT_INPUT, ...fields, fixedCents, ...toNamedPort(table) });
}

/** @param inputs a split that names none is part of the first of these */
function toSplitConfig(table: SplitTable, inputs: readonly InputConfig[]): SplitConfig {
  const { scale: _scale, tonic: _tonic, a4Hz: _a4Hz, ...fields } = toFields(SPLIT, table);
  const { input = inputs[0].port } = table;
  return Object.freeze({ ...DEFAULT_SPLIT, ...fields, input, fixedCents: toFixedCents(table) });
}

function toOutletConfig(table: OutletTable): OutletConfig {
  const config = { ...DEFAULT_OUTLET, ...toFields(OUTLET, table), ...toNamedPort(table) };
  return Object.freeze({ ...config, bendRange: config.kind === 'mts' ? undefined : config.bendRange });
}

function toNamedPort(table: InputTable | OutletTable): NamedPort {
  const { port = DEFAULT_INPUT.port, virtual = DEFAULT_INPUT.virtual } = toWantedPort(table);
  return { port, virtual };
}

function toActionRule(table: ActionTable): ActionRule {
  const kind = TRIGGERS.find((one) => table[one] !== undefined);
  const number = kind && table[kind];
  // A file without mistakes has both; see conflicts.ts.
  if (kind === undefined || number === undefined || table.do === undefined)
    throw new Error('An action is incomplete.');
  const { switch: footSwitch, channel, input } = table;
  const on = Object.freeze({ kind, number, switch: footSwitch, channel, input });
  const { strategy, limit, tonic } = table;
  const preset = table.preset && toPresetName(table.preset);
  return Object.freeze({ on, action: table.do, strategy, limit, tonic, preset });
}

function toPreset({ name, tuning }: PresetTable, { tuning: file }: Choices): Preset {
  const all = { ...file, ...tuning };
  return Object.freeze({ name, tuner: toTunerSettings(all), leewayCents: all.leeway });
}

function toKnobRule(table: KnobTable): KnobRule {
  const { controller, channel, input, sets } = table;
  // A file without mistakes has both; see surface-conflicts.ts.
  if (controller === undefined || sets === undefined) throw new Error('A knob is incomplete.');
  return Object.freeze({ controller, channel, input, sets, ...toKnobEnds(sets, table) });
}

function toLampConfig(table: LampTable): LampConfig {
  const { note, controller, ...rest } = table;
  const { port, virtual } = toLampPort(table);
  const { shows, is, ...fields } = toFields(LAMP, rest);
  const number = note ?? controller;
  // A file without mistakes has all three; see surface-conflicts.ts.
  if (port === undefined || number === undefined || shows === undefined)
    throw new Error('A lamp is incomplete.');
  return Object.freeze({
    ...DEFAULT_LAMP,
    ...fields,
    port,
    virtual: virtual === true,
    kind: note === undefined ? 'controller' : 'note',
    number,
    shows,
    is: shows === 'tonic' && is !== undefined ? toPlaceName(is) : is,
  });
}

/** A tonic as it is written everywhere, such as B♭. */
function toPlaceName(text: string): string {
  const tonic = parseTonic(text);
  return tonic.ok ? formatPlace(tonic.value.fifths) : text;
}

/**
 * The tables of the ports named on the command line, or of all without any.
 * @param model defaults of a port that isn't in the file
 */
function namePorts<T extends InputTable | OutletTable>(
  named: readonly NamedPort[],
  inFile: readonly T[],
  model: T,
): readonly T[] {
  if (named.length === 0) return inFile;
  return named.map((port) => ({
    ...(inFile.find((table) => toNamedPort(table).port === port.port) ?? model),
    ...port,
  }));
}

/** Whether the input of a split is there; tells if it isn't. */
function isSplitKept({ input, name }: SplitConfig, names: readonly string[], remarks: string[]): boolean {
  if (names.includes(input)) return true;
  const split = name === undefined ? 'a split' : `the split "${name}"`;
  remarks.push(`"${input}" not being among the inputs, ${split} of it plays nothing`);
  return false;
}

/** Drops missing inputs. An outlet left without any plays all. */
function keepInputs(
  outlet: OutletConfig,
  names: readonly (string | undefined)[],
  remarks: string[],
): OutletConfig {
  if (outlet.from === undefined) return outlet;
  const from = outlet.from.filter((name) => names.includes(name));
  if (from.length === outlet.from.length) return outlet;
  const lost = outlet.from.filter((name) => !names.includes(name)).map((name) => `"${name}"`);
  const rest =
    from.length === 0 ? 'now plays all inputs' : `plays only ${from.map((name) => `"${name}"`).join(', ')}`;
  remarks.push(`${lost.join(', ')} not being among the inputs, the outlet "${outlet.port}" ${rest}`);
  return Object.freeze({ ...outlet, from: from.length === 0 ? undefined : Object.freeze(from) });
}
