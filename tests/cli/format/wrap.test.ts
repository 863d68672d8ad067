import { expect, test } from 'vitest';
import { wrap } from '../../../src/cli/format/wrap.js';

test.each([
  ['  why   ', 'held since the bar before', ['  why   held since the', '        bar before']],
  ['', 'one  two', ['one two']],
  ['', 'jumped by a little 21.5 c in all', ['jumped by a little', '21.5 c in all']],
  ['> ', 'a-word-wider-than-any-line-here x', ['> a-word-wider-than-any-line-here', '  x']],
])('%j is wrapped at a width of %j', (head, text, lines) => expect(wrap(head, text, 24)).toEqual(lines));
