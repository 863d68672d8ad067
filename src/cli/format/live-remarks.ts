import type { LiveSettings, OutletConfig } from '../../app/live/live-settings.js';
import { playsSplit, roleOf, type SplitConfig, toPlayers, toSplits } from '../../app/live/split-settings.js';
import { claims } from '../../app/outlet-choice.js';
import { toHeadroomRemarks } from './headroom.js';
import { formatKey } from './live.js';

/**
 * Sentences on allowed settings that a player may not have meant.
 * @example with the default settings there is nothing to remark
 */
export function toLiveRemarks(settings: LiveSettings): string[] {
  const { inputs, splits, outlets, actions, knobs } = settings;
  const remarks = [
    ...inputs.flatMap((input) => toSplits(splits, input).flatMap((split) => toCollisions(split, outlets))),
    ...outlets.flatMap((outlet) => toSharing(outlet, settings)),
    ...inputs.flatMap(({ port }) => toSilent(port, splits)),
  ];
  for (const input of inputs) {
    for (const split of toSplits(splits, input)) {
      const isHeard = split.isRest || outlets.some((outlet) => playsSplit(outlet, split));
      if (!isHeard && split.role !== 'guide' && split.channels?.length !== 0)
        remarks.push(`no outlet plays what comes from ${formatSource(split)}`);
    }
  }
  for (const { port, channels } of outlets) {
    if (channels?.includes(9))
      remarks.push(`"${port}" plays on channel 10, which is percussion on General MIDI synths`);
  }
  for (const { on } of actions) {
    const pedal = on.kind === 'controller' ? PEDALS[on.number] : undefined;
    if (pedal !== undefined)
      remarks.push(
        `controller ${on.number} is the ${pedal} pedal, which holds no notes while it asks for an action`,
      );
  }
  for (const { controller } of knobs) {
    const pedal = PEDALS[controller];
    if (pedal !== undefined)
      remarks.push(`controller ${controller} is the ${pedal} pedal, which holds no notes while it is a knob`);
  }
  return [...remarks, ...toHeadroomRemarks(settings)];
}

/** A split whose messages pass unchanged to an outlet that bends the same channels. */
function toCollisions(split: SplitConfig, outlets: readonly OutletConfig[]): string[] {
  const { role, channels } = split;
  if (role === 'guide' || role === 'tuned' || split.isRest || channels?.length === 0) return [];
  const source = formatSource(split);
  return outlets
    .filter((outlet) => playsSplit(outlet, split))
    .filter((outlet) => ALL_CHANNELS.some((channel) => roleOf(split, channel) && claims(outlet, channel)))
    .map(
      ({ port }) =>
        `notes of ${source} pass unchanged to "${port}", which bends their channels; give ${source} another outlet, and name the inputs of each outlet with from`,
    );
}

/** Splits that play one zone: it is one instrument. */
function toSharing(outlet: OutletConfig, { inputs, splits }: LiveSettings): string[] {
  const players = toPlayers(inputs, splits, outlet);
  const sources = [...new Set(players.map(({ input }) => input))];
  const deaf = players.filter(({ controllers }) => !controllers);
  if (outlet.kind !== 'mpe' || players.length < 2 || sources.length + deaf.length < 2) return [];
  const names = players.map(formatSource).join(' and ');
  return [
    `${names} play one MPE zone of "${outlet.port}", so they share its program, volume and pedal; two zones or kind = "multichannel" keep them apart`,
  ];
}

/** Keys of an input that are in none of its splits. */
function toSilent(port: string, splits: readonly SplitConfig[]): string[] {
  const its = splits.filter(({ input }) => input === port);
  if (its.length === 0) return [];
  const isIn = (key: number) => its.some(({ lowest, highest }) => key >= lowest && key <= highest);
  const silent = PIANO_KEYS.filter((key) => !isIn(key));
  if (silent.length === 0) return [];
  const [first, last] = [silent[0], silent[silent.length - 1]];
  const which =
    last - first === silent.length - 1 ? `${formatKey(first)} to ${formatKey(last)}` : 'some keys';
  return [`${which} of "${port}" are in no split, and are silent`];
}

function formatSource({ input, name }: SplitConfig): string {
  return `"${name ?? input}"`;
}

/** Those of a piano, A0 to C8. */
const PIANO_KEYS = Array.from({ length: 88 }, (_, i) => 21 + i);

const ALL_CHANNELS = Array.from({ length: 16 }, (_, channel) => channel);

const PEDALS: Readonly<Record<number, string>> = { 64: 'sustain', 66: 'sostenuto' };
