import { describe, expect, test } from 'vitest';
import { parseUpstream } from '../../../src/core/protocol/index.js';
import { type Setting, TUNER, toPrimes, toWords } from '../../../src/core/settings/index.js';

const rows: [string, Setting][] = Object.entries<Setting>(TUNER);
const isTaken = (what: string, value: unknown) =>
  parseUpstream(
    JSON.stringify({ type: 'control', what, value, ...(what === 'leeway' ? { strategy: 'pull' } : {}) }),
  ).ok;

/** A value of each kind that is right, and one that is just not. */
function toValues(setting: Setting): { right: unknown[]; wrong: unknown[] } {
  switch (setting.kind) {
    case 'number':
    case 'pitch':
      return {
        right: [setting.least, setting.most],
        wrong: [setting.least - 0.01, setting.most + 0.01, '1'],
      };
    case 'word':
      return { right: toWords(setting), wrong: ['', 'Free', 1] };
    case 'prime':
      return { right: toPrimes(setting), wrong: [2, 17, '5'] };
    case 'scale':
      return { right: Object.keys(setting.names), wrong: ['list', ''] };
    case 'tonic':
      return { right: ['C', 'F♯', 'Bb'], wrong: ['H', ''] };
    default:
      throw new Error(`A setting of the tuner of kind ${setting.kind}.`);
  }
}

describe.each(rows.filter(([, { page }]) => page !== undefined))(
  '%s may be asked for by the page',
  (what, setting) => {
    const { right, wrong } = toValues(setting);

    test.each(right)("the page's setting %j is accepted", (value) => expect(isTaken(what, value)).toBe(true));

    test.each(wrong)("the page's setting %j is refused", (value) => expect(isTaken(what, value)).toBe(false));
  },
);

test.each(rows.filter(([, { page }]) => page === undefined))(
  'the setting %s, which the page has no control for, is refused',
  (what, setting) => {
    for (const value of toValues(setting).right) expect(isTaken(what, value)).toBe(false);
  },
);
