import { DEFAULT_BEND_RANGE, type OutletChoice } from '../../app/outlet-choice.js';
import { PERCUSSION_CHANNEL, type Planning } from '../../core/score/index.js';
import { TUNER, toReportedSettings } from '../../core/settings/index.js';
import type { TunerSettings } from '../../core/tuner/index.js';
import { count, formatChannels, formatStrategy } from '../../core/words/index.js';

const HOMES: Readonly<Record<TunerSettings['home']['kind'], string>> = {
  ...TUNER.home.names,
  list: 'your own scale',
};

/**
 * How a piece is tuned, in one line.
 * @example formatSettings(DEFAULT_SETTINGS, 'live')
 *   // 'anchored within 8 c of home, held notes follow; limit 5; home 12 equal on C, A = 440 Hz'
 */
export function formatSettings(settings: TunerSettings, planning: Planning): string {
  const { home, tonic, a4Hz, limit, recallCents } = toReportedSettings(settings);
  const place = `home ${HOMES[home]} on ${tonic}, A = ${a4Hz} Hz`;
  const how = planning === 'live' ? formatHow(settings) : formatPlanned(settings, planning);
  const recall = recallCents === 0 ? '' : `; recall ${recallCents} c`;
  return `${how}${recall}; limit ${limit}; ${place}`;
}

function formatPlanned(settings: TunerSettings, { end, smoothSeconds }: Exclude<Planning, 'live'>): string {
  const { strategy } = settings;
  const how = `planned${end === 'home' ? ' to end where it began' : ''}; ${formatHow(settings)}`;
  if (strategy !== 'anchored') return how;
  return `${how}, smooth ${count(smoothSeconds, 'second')}`;
}

function formatHow(settings: TunerSettings): string {
  const held = settings.strategy === 'free' ? '' : `, held notes ${settings.held}`;
  return `${formatStrategy(settings)}${held}`;
}

/**
 * How the output is to be played.
 * @example formatOutlet({ kind: 'mpe', bendRange: undefined })
 *   // 'each track over an MPE lower zone of its own, bend range 48 semitones'
 */
export function formatOutlet(choice: OutletChoice): string {
  const { kind, zone = 'lower', members, channels } = choice;
  const range = `bend range ${count(choice.bendRange ?? DEFAULT_BEND_RANGE[kind], 'semitone')}`;
  switch (kind) {
    case 'mpe': {
      const size = members === undefined ? '' : `, ${count(members, 'member channel')}`;
      return `each track over an MPE ${zone} zone of its own${size}, ${range}`;
    }
    case 'multichannel':
      return `over ${formatPlain(channels)}, ${range}`;
    case 'mts':
      return 'over tuning messages (MIDI Tuning Standard), no bends';
  }
}

/** Percussion keeps channel 10 for itself. */
function formatPlain(channels: readonly number[] | undefined): string {
  if (channels === undefined) return 'plain channels of one port, never 10';
  const percussion = channels.includes(PERCUSSION_CHANNEL)
    ? ' (10 only where the piece has no percussion)'
    : '';
  return `plain ${formatChannels(channels)} of one port${percussion}`;
}
