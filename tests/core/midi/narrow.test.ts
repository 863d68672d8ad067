import { describe, expect, test } from 'vitest';
import { parseChannel, parseKey } from '../../../src/core/midi/index.js';

describe.each([
  ['parseChannel', parseChannel, 15, 'MIDI_CHANNEL'],
  ['parseKey', parseKey, 127, 'MIDI_KEY'],
] as const)('%s', (_name, parse, highest, code) => {
  test('takes whole numbers up to the highest', () => {
    for (let value = 0; value <= highest; value++) expect(parse(value)).toEqual({ ok: true, value });
  });

  test.each([-1, highest + 1, 0.5, Number.NaN, Number.POSITIVE_INFINITY])('refuses %d', (value) => {
    const outcome = parse(value);
    expect(outcome).toMatchObject({ ok: false, problem: { code } });
    expect(outcome.ok ? '' : outcome.problem.message).toContain(String(value));
  });
});
