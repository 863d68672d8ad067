import { type Passage, toPassage } from '../../core/sheet/index.js';
import type { Explanation } from '../explain.js';

/** The passage an explanation tells of, as a sheet shows it. */
export function toSheetPassage({ moments, tuner }: Explanation): Passage {
  const { settings, originKey } = tuner;
  return toPassage({
    moments,
    origin: settings.home.tonic,
    originKey,
    // Tempered notes lean off their ratios, and so do tied ones that stay.
    hasLeaning: settings.strategy === 'temper' || settings.held === 'stay',
  });
}
