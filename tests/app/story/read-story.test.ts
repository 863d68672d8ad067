import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { readBuiltInPieces } from '../../../src/app/live/built-in-pieces.js';
import { readStory } from '../../../src/app/story/read-story.js';
import { STEP_KEYS } from '../../../src/app/story/story.js';
import { buildMidiBytes } from '../../support/build-midi.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const DEMO = fileURLToPath(new URL('../../../configs/demo', import.meta.url));
const folder = useTemporaryFolder();

test('a story has the MIDI files beside it, by their names', async () => {
  await writeFile(join(folder(), 'song.mid'), buildMidiBytes([[0, 4, 60]]));
  const path = join(folder(), 'story.toml');
  await writeFile(path, 'title = "T"\n[[step]]\nsentence = "S"\npiece = "song.mid"\n');
  const parsed = await readStory(path, []);
  expect(parsed).toMatchObject({ ok: true, story: { steps: [{ music: { piece: { name: 'song.mid' } } }] } });
});

test('a file beside a story that is missing or no MIDI file is told with the place in the story', async () => {
  const path = join(folder(), 'story.toml');
  await writeFile(join(folder(), 'bad.mid'), 'Dear organist');
  const step = (name: string) => `[[step]]\nsentence = "S"\npiece = "${name}"\n`;
  await writeFile(path, `title = "T"\n${step('none.mid')}${step('bad.mid')}`);
  const parsed = await readStory(path, []);
  if (parsed.ok) throw new Error('it has two mistakes');
  expect(parsed.mistakes.map(({ code }) => code)).toEqual(['FILE_MISSING', 'SMF_NOT_MIDI']);
  expect(parsed.mistakes[0].message).toMatch(/story\.toml:4:9: .*none\.mid/);
  await expect(readStory(join(folder(), 'no.toml'), [])).rejects.toMatchObject({ code: 'FILE_MISSING' });
});

test('every sentence of the built-in story has fewer than 25 words, and every step music or a change', async () => {
  const parsed = await readStory(join(DEMO, 'story.toml'), await readBuiltInPieces(DEMO));
  if (!parsed.ok) throw new Error(parsed.mistakes[0].message);
  expect(parsed.story.steps.length).toBeGreaterThanOrEqual(6);
  for (const { sentence } of parsed.story.steps) expect(sentence.split(' ').length).toBeLessThan(25);
});

test('the README of stories lists each key of a step with what it takes', async () => {
  const text = await readFile(new URL('../../../src/app/story/README.md', import.meta.url), 'utf8');
  const rows = Object.entries(STEP_KEYS).map(
    ([key, { does, takes }]) => `| \`${key}\` | ${does} | ${takes} |`,
  );
  expect(text).toContain(rows.join('\n'));
});
