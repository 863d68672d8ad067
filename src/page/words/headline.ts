import type { Frame, SettingsFact } from '../../core/protocol/index.js';
import { count, formatFromStart, formatStrategy } from '../../core/words/index.js';

/** The state of the music in a sentence: Free is 43.0 c lower than it began after 2 passes; … */
export function toHeadline(frame: Frame | undefined): string {
  if (frame === undefined || frame.strikeMs === null) return 'Play something, or start a piece.';
  const { drift, playing } = frame;
  const passes = playing === null ? 0 : playing.pass.n - 1;
  const after = passes === 0 ? '' : ` after ${count(passes, 'pass', 'passes')}`;
  const [free, anchored] = [drift.free, drift.anchored].map(({ leftCents }) => formatFromStart(leftCents));
  return `Free is ${free}${after}; anchored is ${anchored}.`;
}

/** The present tuning, for the top line: anchored within 8 c of home. */
export function describeSounding(settings: SettingsFact): string {
  if (settings.bypass) return '12 equal: Leeway stands aside';
  const { leewayCents, recallCents } = settings;
  const own = settings.strategy === 'pull' ? leewayCents.pull : leewayCents.anchored;
  const recall = recallCents === 0 ? '' : `; recall ${recallCents} c`;
  return formatStrategy({ ...settings, leewayCents: own }) + recall;
}
