import { parse } from 'smol-toml';
import { expect, test } from 'vitest';
import { findPlaces, type KeyPath } from '../../src/app/toml-places.js';

const TOML = `# a [tuning] in a comment
top.inner = 'x = 1' # dotted
[ tuning ]
"quoted" = """
[outlet]
kind = 1
"""
list = [
  1, # one
  "a]",
]
table = { a = 1, b = [2, 3] }
[[many]]
k = 1
[[many]]
k = 2
[many.inner]
deep = true
`;

test.each([
  ['top.inner', '2:5', '2:13'],
  ['tuning', '3:3', undefined],
  ['tuning.quoted', '4:1', '4:12'],
  ['tuning.list', '8:1', '8:8'],
  ['tuning.list.1', '10:3', '10:3'],
  ['tuning.table.b', '12:18', '12:22'],
  ['many.1.k', '16:1', '16:5'],
  ['many.0', '13:3', undefined],
  ['many.1', '15:3', undefined],
  ['many.1.inner.deep', '18:1', '18:8'],
])('the value at %s has its place in the file', (path, key, value) => {
  const keys: KeyPath = path.split('.').map((part) => (/^\d$/.test(part) ? Number(part) : part));
  const toPlace = (text: string) => ({
    line: Number(text.split(':')[0]),
    column: Number(text.split(':')[1]),
  });
  expect(findPlaces(TOML)(keys)).toEqual({ key: toPlace(key), value: value && toPlace(value) });
});

test('a value that is missing has no place', () =>
  expect(findPlaces(TOML)(['outlet', 'kind'])).toBeUndefined());

// TOML 1.0, String and Keys: escapes that JSON doesn't know, and signs that it wants escaped.
test.each(['"\\U0001F600" = 1', '"\\x41" = 1', '"\\e" = 1', '"a\tb" = 1', "'a\\b' = 1"])(
  'a quoted key has its place: %s',
  (line) => {
    const [key] = Object.keys(parse(line));
    expect(findPlaces(line)([key])?.key).toEqual({ line: 1, column: 1 });
  },
);
