import { describe, expect, test } from 'vitest';
import { explain } from '../../../src/app/explain.js';
import { DEFAULT_PAPER, type SheetPaper } from '../../../src/app/sheet/sheet-style.js';
import {
  MOST_CHORDS,
  MOST_SYSTEMS,
  toSheetKind,
  toSheetPassage,
  writeSheet,
} from '../../../src/app/sheet/write-sheet.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { LeewayError } from '../../../src/io/leeway-error.js';
import { type BuiltNote, buildMidi, PUMP } from '../../support/build-midi.js';
import { BASS, CHOIR } from '../../support/choir.js';

const SETTINGS = toSettings({ strategy: 'free' });

/** Writes a sheet into memory. */
async function write(
  path: string,
  notes: readonly BuiltNote[],
  bars?: { from: number; to: number },
  tracks = 1,
  paper?: SheetPaper,
) {
  const file = buildMidi(notes);
  const many =
    tracks === 1 ? file : { ...file, format: 2 as const, chunks: Array(tracks).fill(file.chunks[0]) };
  const written = new Map<string, string>();
  const done = await writeSheet(
    path,
    explain(many, SETTINGS, 'live', bars),
    { input: 'songs/pump <&>.mid', how: 'free: the pitch may drift', bars, ...(paper && { paper }) },
    {
      read: () => Promise.reject(new Error('nothing is read here')),
      write: async (to, bytes) => void written.set(to, new TextDecoder().decode(bytes)),
    },
  );
  return { done, text: written.get(path) ?? '' };
}

test('a sheet says which parts are fixed, and shows the cents of their notes', async () => {
  const written: string[] = [];
  const pieces = explain(CHOIR, SETTINGS, 'live', undefined, [BASS, { number: 1, role: 'guide' }]);
  const access = {
    read: () => Promise.reject(new Error('nothing is read here')),
    write: async (_: string, bytes: Uint8Array) => void written.push(new TextDecoder().decode(bytes)),
  };
  await writeSheet('a.svg', pieces, { input: 'choir.mid', how: 'free', bars: undefined }, access);
  expect(written[0]).toContain('Middle: guide; Bass: fixed');
  expect(written[0]).toContain('small figures: cents from 12 equal');
  expect(toSheetPassage(explain(CHOIR, SETTINGS, 'live')[0]).hasLeaning).toBe(false);
});

const problemOf = async (work: Promise<unknown>) => {
  const error = await work.then(
    () => undefined,
    (one: unknown) => one,
  );
  if (!(error instanceof LeewayError)) throw new Error(`no LeewayError, but ${String(error)}`);
  return error;
};

/** A chord a beat. */
const long = (beats: number): BuiltNote[] =>
  Array.from({ length: beats }, (_, i): BuiltNote[] => [
    [i, i + 1, 48],
    [i, i + 1, 64],
    [i, i + 1, 67],
  ]).flat();

describe('a sheet', () => {
  test('is a page or a picture, as its name says', async () => {
    expect([toSheetKind('a.html'), toSheetKind('a.SVG')]).toEqual(['html', 'svg']);
    const page = await write('a.html', PUMP);
    expect(page.done).toEqual({ kind: 'html', chords: 5, systems: 1, paper: DEFAULT_PAPER });
    expect(page.text).toMatch(/^<!doctype html>/);
    const picture = await write('a.svg', PUMP);
    expect(picture.done).toEqual({ kind: 'svg', chords: 5, systems: 1, paper: DEFAULT_PAPER });
    expect(picture.text).toMatch(/^<svg /);
    for (const { text } of [page, picture]) {
      expect(text).toContain('pump &lt;&amp;&gt;');
      expect(text).toContain('Bars 1 to 5; free: the pitch may drift');
      expect(text).not.toContain('NaN');
    }
  });

  test.each(['a.pdf', 'a', '-', 'svg', 'a.html.gz'])('is refused with the name %s', (path) => {
    expect(() => toSheetKind(path)).toThrow(expect.objectContaining({ code: 'SHEET_NAME' }));
  });

  test('shows only the bars asked for', async () => {
    const { done, text } = await write('a.html', PUMP, { from: 2, to: 3 });
    expect(done.chords).toBe(2);
    expect(text).toContain('Bars 2 to 3;');
    expect((await write('a.html', PUMP, { from: 4, to: 4 })).text).toContain('Bar 4;');
  });

  test('is an error for bars without notes, which says where notes are', async () => {
    const none = await problemOf(write('a.html', []));
    expect(none.code).toBe('SHEET_EMPTY');
    expect(none.message).toBe('There is no note to put on a sheet.');
    const beyond = await problemOf(write('a.svg', PUMP, { from: 9, to: 12 }));
    expect(beyond.code).toBe('SHEET_EMPTY');
    expect(beyond.advice).toContain('bar 5');
  });

  test('is an error when it is too long for a picture, and fits on a page', async () => {
    const { code, advice } = await problemOf(write('a.svg', long(64)));
    expect(code).toBe('SHEET_LONG');
    expect(advice).toContain('--from and --to');
    const { done } = await write('a.html', long(64));
    expect(done.chords).toBe(64);
    expect(done.systems).toBeGreaterThan(MOST_SYSTEMS);
  });

  test('is an error when it is too long for a page', async () => {
    expect((await problemOf(write('a.html', long(MOST_CHORDS + 1)))).code).toBe('SHEET_LONG');
  });

  test('shows as a page each piece of a file, and as a picture one', async () => {
    const { text } = await write('a.html', PUMP, undefined, 2);
    expect(text.match(/<h1>/g)).toHaveLength(2);
    expect(text).toContain('track 2</h1>');
    expect((await problemOf(write('a.svg', PUMP, undefined, 2))).code).toBe('SHEET_LONG');
  });

  test('has shorter systems on narrow paper, as a page and as a picture', async () => {
    const paper: SheetPaper = { size: 'letter', isPortrait: true };
    const page = await write('a.html', PUMP, undefined, 1, paper);
    expect(page.done).toEqual({ kind: 'html', chords: 5, systems: 2, paper });
    expect(page.text).toContain('size: letter portrait');
    const widthOf = (text: string) => Number(/viewBox="0 0 ([\d.]+)/.exec(text)?.[1]);
    const [narrow, wide] = [
      await write('a.svg', PUMP, undefined, 1, paper),
      await write('a.svg', PUMP, undefined, 1),
    ];
    expect(narrow.done.systems).toBe(2);
    expect(widthOf(narrow.text)).toBeLessThan(0.85 * widthOf(wide.text));
  });
});
