import { KNOB_ENDS, type KnobRule } from '../../src/app/live/knobs.js';
import { KNOB, toWords } from '../../src/core/settings/index.js';

/** A knob for each setting that one can turn, with its default ends: controllers from 20 on. */
export function allKnobs(input?: string): KnobRule[] {
  return toWords(KNOB.sets).map((sets, i) => {
    const [least, most] = KNOB_ENDS[sets];
    return { controller: 20 + i, channel: undefined, input, sets, least, most };
  });
}
