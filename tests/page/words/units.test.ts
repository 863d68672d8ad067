import { expect, test } from 'vitest';
import { spellCents } from '../../../src/page/words/units.js';

test.each([
  ['That moved it by −21.5 c.', 'That moved it by −21.5 cents.'],
  ['3 c a second, c minor, 5 cents', '3 cents a second, c minor, 5 cents'],
])('%s is read as %s', (short, full) => expect(spellCents(short)).toBe(full));
