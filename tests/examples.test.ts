import { describe, expect, test } from 'vitest';
import { createFixtures } from './support/example-fixtures.js';
import { matches, readExpected } from './support/example-values.js';
import { findExamples, isCode, looksLikeCode, readExamples, runExample } from './support/examples.js';

/** Examples that need what a quick test hasn't: by file, with the name they begin with. */
const NOT_RUN: readonly (readonly [file: string, begins: string, needs: string])[] = [
  ['io/clock/vital-signs.ts', 'const watch', 'a running event loop'],
  ['io/files/growing-midi-file.ts', 'const file', 'a disk'],
  ['io/files/list-midi-files.ts', 'await listMidiFiles', 'a folder of files'],
  ['io/files/whole-file.ts', 'const file', 'a disk'],
  ['io/files/whole-file.ts', 'await writeWhole', 'a disk'],
  ['io/ports/open-port-system.ts', '(await diagnose', 'a MIDI system'],
  ['io/ports/port-reconnector.ts', 'const reconnector', 'ports'],
  ['io/ports/port-system.ts', 'link.send', 'an open port'],
  ['app/live/control.ts', 'control(session', 'a session'],
  ['app/live/input-rules.ts', 'rules.find', 'settings of inputs'],
  ['app/live/live-session.ts', 'const session', 'ports'],
  ['app/live/session-timer.ts', 'const owner', 'a session and a clock'],
  ['app/live/take-folder.ts', 'await makeTakeFolder', 'a disk'],
  ['app/live/take-line.ts', 'toTakeLine', 'an entry of the ledger'],
  ['app/live/take-recorder.ts', 'const take', 'a disk and a session'],
  ['app/midi-source.ts', 'await openMidi', 'a damaged file'],
  ['cli/index.ts', 'await run', 'a process and files'],
  ['cli/live-log.ts', 'createLog', 'a process'],
  ['page/ui/use-asked.ts', 'const [', 'a rendered component'],
  ['page/ui/use-media.ts', 'useMedia', 'a browser'],
];

/** How many examples are run, at least, and how many are prose, at most: an example may not stop being run unseen. */
const LEAST_RUN = 335;
const MOST_PROSE = 20;

const examples = ['core', 'io', 'app', 'cli', 'page'].flatMap(findExamples);
const code = examples.filter(isCode);
const isNotRun = (example: (typeof code)[number]) =>
  NOT_RUN.some(([file, begins]) => example.file === file && example.text.startsWith(begins));
const running = code.filter((example) => !isNotRun(example));

describe('the examples in docstrings', () => {
  test.each([...new Set(running.map(({ file }) => file))])('hold in %s', async (file) => {
    const wrong: string[] = [];
    for (const example of running.filter((one) => one.file === file)) {
      const { compared, problems } = await runExample(example, createFixtures());
      const all = compared === 0 ? [...problems, 'it compares nothing'] : problems;
      if (all.length > 0) wrong.push(`line ${example.line}: ${all.join('; ')}`);
    }
    expect(wrong).toEqual([]);
  });

  test('are run, and no fewer than before', () => expect(running.length).toBeGreaterThanOrEqual(LEAST_RUN));

  test('have no code where they are prose', () => {
    const prose = examples.filter((example) => !isCode(example));
    expect(prose.filter(looksLikeCode)).toEqual([]);
    expect(prose.length).toBeLessThanOrEqual(MOST_PROSE);
  });

  test('are left out one by one, each with a reason that still has its example', () => {
    for (const [file, begins] of NOT_RUN) {
      expect(
        code.some((one) => one.file === file && one.text.startsWith(begins)),
        `${file}: ${begins}`,
      ).toBe(true);
    }
  });
});

describe('the reader of examples', () => {
  const run = (text: string) =>
    runExample({ file: 'core/theory/vector.ts', line: 1, text }, createFixtures());

  test('finds each example of a docstring, up to the next tag or the end', () => {
    const source =
      '/**\n * A.\n * @example f(1)  // 2\n * @example\n * g(2)\n * // 3\n * @see B\n */\n/** @example h() */';
    expect(readExamples(source, 'a.ts').map(({ line, text }) => [line, text])).toEqual([
      [3, 'f(1)  // 2'],
      [4, 'g(2)\n// 3'],
      [9, 'h()'],
    ]);
  });

  test.each([
    ["toCents(ratio('3/2'))  // 701.9551", 'a wrong last digit'],
    ['toCents(3 / 2)  // 701.955', 'a NaN'],
    ['toCents(FIFTH)  // 701.955', 'a name that is missing'],
    ['toKeyClass(-1)', 'no value'],
    ['toKeyClass(-1)  // eleven', 'prose instead of a value'],
    ['const key = toKeyClass(-1);  // 11', 'a value after a declaration'],
    ['toKeyClass(-1)  // throws RangeError', 'an error that is not thrown'],
    ['invert([1, 0, 0, 0, 0, 0])  // [-1, 0, 0, 0, 0, -0]', 'a negative zero'],
  ])('finds the example of %s wrong: %s', async (text) => {
    expect((await run(text)).problems).not.toEqual([]);
  });

  test.each([
    "toCents(ratio('3/2'))  // 701.955",
    'toKeyClass(-1)  // 11: B',
    'const key = toKeyClass(-1);\nkey  // 11',
    "ratio('1')  // [0, 0, …]",
    "ratio('17/16')  // throws RangeError",
  ])('finds the example right: %s', async (text) => {
    expect(await run(text)).toEqual({ compared: 1, problems: [] });
  });

  test.each([
    { value: 6.3, text: '6.3', isRight: true },
    { value: 6.36, text: '6.3', isRight: false },
    { value: 6, text: '6.0', isRight: true },
    { value: 6.4, text: '6', isRight: false },
    { value: Number.NaN, text: '0.0', isRight: false },
    { value: ['a', 'b'], text: "['a', …]", isRight: true },
    { value: ['a', 'b'], text: "['a']", isRight: false },
    { value: { a: 1, b: undefined }, text: '{ a: 1 }', isRight: true },
    { value: { a: 1, b: 2 }, text: '{ a: 1 }', isRight: false },
    { value: { a: 1, b: 2 }, text: '{ a: 1, … }', isRight: true },
    { value: 81n, text: '81n', isRight: true },
    { value: Uint8Array.of(0xe0, 0x4f), text: 'E0 4F', isRight: true },
    { value: Uint8Array.of(0xe0, 0x4f), text: 'E0 4E', isRight: false },
    { value: 'it’s', text: "'it’s'", isRight: true },
  ])('finds that a value printed as $text is right: $isRight', ({ value, text, isRight }) => {
    expect(matches(value, readExpected(text)!)).toBe(isRight);
  });
});
