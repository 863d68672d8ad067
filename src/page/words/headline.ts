import type { Frame, SettingsFact } from '../../core/protocol/index.js';
import { capital, count, formatSize } from './numbers.js';

type Strategy = SettingsFact['strategy'];

/** Nearer to home than this is at home, as far as words go. */
const AT_HOME = 0.5;

/**
 * How a strategy stands, in words.
 * @example describeStanding('free', -43.01)  // 'free is 43 c flat'
 */
export function describeStanding(strategy: Strategy, cents: number): string {
  if (Math.abs(cents) < AT_HOME) return `${strategy} is at home`;
  return `${strategy} is ${formatSize(cents)} ${cents < 0 ? 'flat' : 'sharp'}`;
}

/**
 * What has happened to the music, in a sentence or two.
 * @example Free is 43 c flat after two passes; anchored is at home.
 */
export function toHeadline(frame: Frame | undefined): string {
  if (frame === undefined || frame.strikeMs === null) return 'Play something, or start a piece.';
  const { drift, playing } = frame;
  const passes = playing === null ? 0 : playing.pass.n - 1;
  const after = passes === 0 ? '' : ` after ${count(passes, 'pass', 'passes')}`;
  const free = describeStanding('free', drift.free.cents ?? drift.free.leftCents);
  const anchored = describeStanding('anchored', drift.anchored.cents ?? drift.anchored.leftCents);
  return `${capital(free)}${after}; ${anchored}.`;
}

/**
 * How what sounds is tuned, for the top line.
 * @example anchored, leeway 8 c
 */
export function describeSounding(settings: SettingsFact): string {
  if (settings.bypass) return '12 equal: Leeway stands aside';
  const recall = settings.recallCents === 0 ? '' : `, recall ${settings.recallCents} c`;
  return describeStrategy(settings) + recall;
}

function describeStrategy(settings: SettingsFact): string {
  switch (settings.strategy) {
    case 'free':
      return 'free: the pitch may drift';
    case 'pull':
      return `pulled home at ${settings.rateCentsPerSecond} c a second, leeway ${settings.leewayCents.pull} c`;
    case 'anchored':
      return `anchored, leeway ${settings.leewayCents.anchored} c`;
    case 'temper':
      return 'tempered: the harmony shares the comma';
  }
}
