import {
  type ActionRule,
  type InputConfig,
  type LiveSettings,
  type OutletConfig,
  STOCK_INPUT,
  STOCK_LIVE_SETTINGS,
  STOCK_OUTLET,
} from '../app/live/live-settings.js';
import { type Choices, toRemarks, toTunerSettings } from './choices.js';
import { TRIGGERS, toWantedPort } from './settings-conflicts.js';
import type { ActionTable, InputTable, OutletTable, Settings } from './settings-schema.js';

/** A port named on the command line. */
export interface NamedPort {
  readonly port: string;
  readonly virtual: boolean;
}

/** What the command line says of a live session, beside how to tune. */
export interface LiveChoices {
  /** Empty: those of the settings file. */
  readonly inputs: readonly NamedPort[];
  readonly outlets: readonly NamedPort[];
  readonly take: string | undefined;
}

/** Settings, and sentences on what of them will have no effect. */
export interface LiveGathering {
  readonly settings: LiveSettings;
  readonly remarks: readonly string[];
}

/** A command line that says nothing of a live session. */
export const NO_LIVE_CHOICES: LiveChoices = { inputs: [], outlets: [], take: undefined };

/**
 * The settings of a live session: what the command line says, over the settings file, over stock.
 *
 * Ports named on the command line stand in place of those of the file, inputs and outlets apart; one that the file has
 * too keeps what the file says of it. A single outlet of the file lends its settings to any port named instead of it.
 * What the file says of inputs that are no longer there is left out, with a remark.
 *
 * @param file    a settings file without mistakes
 * @param line    what the command line says of the ports
 * @param given   what it says of the tuning and the outlets
 * @param choices the same over the file
 */
export function toLiveSettings(
  file: Settings,
  line: LiveChoices,
  given: Choices,
  choices: Choices,
): LiveGathering {
  const { fuse, systemMessages, takeDirectory } = STOCK_LIVE_SETTINGS;
  const remarks: string[] = [];
  const inputs = nameInputs(line.inputs, (file.input ?? [{}]).map(toInputWish));
  const names = inputs.map(({ port }) => port);
  const outlets = nameOutlets(line.outlets, (file.outlet ?? [{}]).map(toOutletWish))
    .map((outlet) => changeKind(outlet, given))
    .map((outlet) => keepInputs(outlet, names, remarks));
  const actions = (file.action ?? []).map(toActionRule);
  for (const { on } of actions) {
    if (on.input !== undefined && !names.includes(on.input))
      remarks.push(`nothing asks for an action on "${on.input}", which is not among the inputs`);
  }
  const settings = Object.freeze({
    tuner: toTunerSettings(choices),
    leewayCents: choices.leewayCents,
    inputs: Object.freeze(inputs),
    outlets: Object.freeze(outlets),
    actions: Object.freeze(actions),
    fuse: file.live?.fuse ?? fuse,
    systemMessages: file.live?.['pass-system'] ?? systemMessages,
    takeDirectory: line.take ?? file.live?.take ?? takeDirectory,
  });
  return { settings, remarks: [...new Set(remarks)] };
}

/**
 * As `toRemarks`, for a live session. Where the player can go to another strategy, nothing is said of what one strategy
 * has no use for, since another may have.
 */
export function toIdleRemarks(
  { outlets, actions }: LiveSettings,
  given: Choices,
  all: Choices,
  style: 'option' | 'key',
): string[] {
  const changes = actions.some(({ action }) => action === 'strategy' || action === 'next-strategy');
  const outlet = outlets.find(({ kind }) => kind !== 'mts')?.kind ?? 'mts';
  return toRemarks(changes ? { bendRange: given.bendRange } : given, { ...all, outlet }, style);
}

function toInputWish(table: InputTable): InputConfig {
  return Object.freeze({
    ...toNamedPort(table),
    bendRange: table['bend-range'] ?? STOCK_INPUT.bendRange,
    channels: table.channels,
  });
}

function toOutletWish(table: OutletTable): OutletConfig {
  return Object.freeze({
    ...toNamedPort(table),
    kind: table.kind ?? STOCK_OUTLET.kind,
    bendRange: table['bend-range'],
    zone: table.zone ?? STOCK_OUTLET.zone,
    members: table.members ?? STOCK_OUTLET.members,
    channels: table.channels,
    releaseHoldMs: table['release-hold'] ?? STOCK_OUTLET.releaseHoldMs,
    wire: table.wire ?? STOCK_OUTLET.wire,
    from: table.from,
  });
}

function toNamedPort(table: InputTable | OutletTable): NamedPort {
  const { port = STOCK_INPUT.port, virtual = STOCK_INPUT.virtual } = toWantedPort(table);
  return { port, virtual };
}

function toActionRule(table: ActionTable): ActionRule {
  const kind = TRIGGERS.find((one) => table[one] !== undefined);
  const number = kind && table[kind];
  // A file without mistakes has both; see settings-conflicts.ts.
  if (kind === undefined || number === undefined || table.do === undefined)
    throw new Error('An action is incomplete.');
  const on = Object.freeze({ kind, number, channel: table.channel, input: table.input });
  return Object.freeze({ on, action: table.do, strategy: table.strategy });
}

function nameInputs(named: readonly NamedPort[], inFile: readonly InputConfig[]): readonly InputConfig[] {
  if (named.length === 0) return inFile;
  return named.map((port) => {
    const known = inFile.find((input) => input.port === port.port) ?? STOCK_INPUT;
    return Object.freeze({ ...known, ...port });
  });
}

function nameOutlets(named: readonly NamedPort[], inFile: readonly OutletConfig[]): readonly OutletConfig[] {
  if (named.length === 0) return inFile;
  const model = inFile.length === 1 ? inFile[0] : STOCK_OUTLET;
  return named.map((port) => {
    const known = inFile.find((outlet) => outlet.port === port.port) ?? model;
    return Object.freeze({ ...known, ...port });
  });
}

/** What the command line says of all outlets. Another kind takes nothing over that was said of the first. */
function changeKind(outlet: OutletConfig, { outlet: kind = outlet.kind, bendRange }: Choices): OutletConfig {
  const { zone, members } = STOCK_OUTLET;
  const changed =
    kind === outlet.kind
      ? outlet
      : { ...outlet, kind, bendRange: undefined, zone, members, channels: undefined };
  return Object.freeze({
    ...changed,
    bendRange: kind === 'mts' ? undefined : (bendRange ?? changed.bendRange),
  });
}

/** Leaves out inputs that aren't there. An outlet that none is left for plays what comes from any. */
function keepInputs(outlet: OutletConfig, names: readonly string[], remarks: string[]): OutletConfig {
  if (outlet.from === undefined) return outlet;
  const from = outlet.from.filter((name) => names.includes(name));
  if (from.length === outlet.from.length) return outlet;
  const lost = outlet.from.filter((name) => !names.includes(name)).map((name) => `"${name}"`);
  const rest =
    from.length === 0 ? 'now plays all inputs' : `plays only ${from.map((name) => `"${name}"`).join(', ')}`;
  remarks.push(`${lost.join(', ')} not being among the inputs, the outlet "${outlet.port}" ${rest}`);
  return Object.freeze({ ...outlet, from: from.length === 0 ? undefined : Object.freeze(from) });
}
