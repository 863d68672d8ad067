import { type OutletChoice, STOCK_BEND_RANGE } from '../../app/outlet-choice.js';
import { toA4Hz, toTonicName } from '../../app/settings-report.js';
import type { TunerSettings } from '../../core/tuner/index.js';

const HOMES: Readonly<Record<TunerSettings['home']['kind'], string>> = {
  equal: '12 equal',
  just: 'just',
  meantone: 'quarter-comma meantone',
  pythagorean: 'Pythagorean',
  list: 'your own scale',
};

/**
 * How a piece is tuned, in one line.
 * @example formatSettings(STOCK_SETTINGS)
 *   // 'anchored within 8 c of home, held notes follow; limit 5; home 12 equal on C, A = 440 Hz'
 */
export function formatSettings(settings: TunerSettings): string {
  const { home, limit } = settings;
  const place = `home ${HOMES[home.kind]} on ${toTonicName(settings)}, A = ${toA4Hz(settings)} Hz`;
  return `${formatStrategy(settings)}; limit ${limit}; ${place}`;
}

function formatStrategy({ strategy, leewayCents, rateCentsPerSecond, held }: TunerSettings): string {
  const ties = `held notes ${held}`;
  switch (strategy) {
    case 'free':
      return 'free: the pitch may drift';
    case 'pull':
      return `pulled at ${rateCentsPerSecond} c a second to within ${leewayCents} c of home, ${ties}`;
    case 'anchored':
      return `anchored within ${leewayCents} c of home, ${ties}`;
  }
}

/**
 * How the output is to be played.
 * @example formatOutlet({ kind: 'mpe', bendRange: undefined }, 4)
 */
export function formatOutlet({ kind, bendRange }: OutletChoice): string {
  const range = bendRange ?? STOCK_BEND_RANGE[kind];
  switch (kind) {
    case 'mpe':
      return `each track over an MPE lower zone of its own, bend range ${range} semitones`;
    case 'multichannel':
      return `over plain channels of one port, never 10, bend range ${range} semitones`;
    case 'mts':
      return 'over tuning messages (MIDI Tuning Standard), no bends';
  }
}
