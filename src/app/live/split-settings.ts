import { CC, CONTROL_CHANGE, NOTE_OFF, POLY_PRESSURE } from '../../core/midi/index.js';
import { PERCUSSION_CHANNEL, type Role } from '../../core/score/index.js';

/** What becomes of the notes of some channels. */
export interface RoleConfig {
  readonly role: Role;
  /** The channels 0..15 that have the role. `undefined`: all but 9, which is percussion. Empty: none. */
  readonly channels: readonly number[] | undefined;
  /** Where the keys of a fixed partner sound: cents off 12 equal at A = 440 Hz, by key class 0..11. */
  readonly fixedCents: readonly number[];
}

/**
 * A range of an input's keys. Ranges may overlap, and then layer. Keys in no split of an input that has any are silent;
 * channels in none pass unchanged, and aren't heard.
 */
export interface SplitConfig extends RoleConfig {
  /** The name of the input's port. */
  readonly input: string;
  /** Outlets may name the split by this; `undefined`: only by its input. */
  readonly name: string | undefined;
  /** The lowest and highest key 0..127 that belong to it, as they are struck. */
  readonly lowest: number;
  readonly highest: number;
  /** How far its notes are moved, in semitones. */
  readonly transpose: number;
  /** Whether pedals, wheels and everything else beside notes are for it too. */
  readonly controllers: boolean;
  /** It is made of the channels that the others leave. */
  readonly isRest?: true;
}

/** What becomes of the notes of a channel; `undefined` if the role isn't for it. @example roleOf(DEFAULT_INPUT, 9)  // undefined: percussion */
export function roleOf({ role, channels }: RoleConfig, channel: number): Role | undefined {
  const hasRole = channels === undefined ? channel !== PERCUSSION_CHANNEL : channels.includes(channel);
  return hasRole ? role : undefined;
}

const ALL_CHANNELS: readonly number[] = Array.from({ length: 16 }, (_, channel) => channel);

/**
 * The splits of an input: those of the settings, or one with all its keys, and at the end one for the channels that are
 * in none.
 * @example toSplits([], DEFAULT_INPUT).map(({ role, channels }) => [role, channels])  // [['tuned', undefined], ['untuned', [9]]]
 */
export function toSplits(
  splits: readonly SplitConfig[],
  input: RoleConfig & { readonly port: string },
): readonly SplitConfig[] {
  const { role, channels, fixedCents } = input;
  const whole = { ...DEFAULT_SPLIT, input: input.port, role, channels, fixedCents };
  const its = splits.filter((split) => split.input === input.port);
  const roles = its.length === 0 ? [whole] : its;
  const rest = ALL_CHANNELS.filter((channel) => roles.every((one) => roleOf(one, channel) === undefined));
  return rest.length === 0 ? roles : [...roles, { ...whole, role: 'untuned', channels: rest, isRest: true }];
}

/** The deviations of 12 equal at A = 440 Hz. */
export const NO_DEVIATION: readonly number[] = Object.freeze(new Array<number>(12).fill(0));

/** The default split: all keys. */
export const DEFAULT_SPLIT: Omit<SplitConfig, 'input'> = Object.freeze({
  name: undefined,
  role: 'tuned',
  channels: undefined,
  fixedCents: NO_DEVIATION,
  lowest: 0,
  highest: 127,
  transpose: 0,
  controllers: true,
});

/**
 * Whether an outlet plays a split.
 * @example playsSplit({ from: ['Left hand'] }, { ...DEFAULT_SPLIT, input: 'Keys', name: 'Left hand' })  // true
 */
export function playsSplit(
  { from }: { readonly from: readonly string[] | undefined },
  { input, name }: SplitConfig,
): boolean {
  return from === undefined || from.includes(input) || (name !== undefined && from.includes(name));
}

/**
 * The splits whose tuned notes an outlet plays.
 * @example toPlayers([DEFAULT_INPUT], [], DEFAULT_OUTLET).length  // 1: the whole of the input
 */
export function toPlayers(
  inputs: readonly (RoleConfig & { readonly port: string })[],
  splits: readonly SplitConfig[],
  outlet: { readonly from: readonly string[] | undefined },
): readonly SplitConfig[] {
  return inputs
    .flatMap((input) => toSplits(splits, input))
    .filter((split) => split.role === 'tuned' && split.channels?.length !== 0 && playsSplit(outlet, split));
}

/**
 * The key that a note of a split is played on; other messages as they are. Mode messages that silence are for every split,
 * and what a finger does is for its notes.
 *
 * @param status 0x80..0xEF
 * @param finger of an MPE zone, 1..15; 0 for none
 * @returns `undefined` for what isn't in the split
 * @example toSplitKey({ ...DEFAULT_SPLIT, input: 'Keys', transpose: 12 }, 0x90, 60, 0)  // 72
 */
export function toSplitKey(
  { lowest, highest, transpose, controllers }: SplitConfig,
  status: number,
  data1: number,
  finger: number,
): number | undefined {
  const type = status & 0xf0;
  if (type < NOTE_OFF || type > POLY_PRESSURE) {
    const isForAll = finger > 0 || (type === CONTROL_CHANGE && data1 >= CC.allSoundOff);
    return controllers || isForAll ? data1 : undefined;
  }
  const key = data1 + transpose;
  return data1 >= lowest && data1 <= highest && key >= 0 && key <= HIGHEST_KEY ? key : undefined;
}

const HIGHEST_KEY = 127;
