import { copyFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { FIRST_PIECE, readBuiltInPieces } from '../../../src/app/live/built-in-pieces.js';
import { LeewayError } from '../../../src/io/leeway-error.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const DEMO = fileURLToPath(new URL('../../../configs/demo', import.meta.url));
const folder = useTemporaryFolder();

test('every built-in piece has a name, a title and one pass to repeat, and the first can be read', async () => {
  const pieces = await readBuiltInPieces(DEMO);
  expect(pieces.map(({ name }) => name)).toContain(FIRST_PIECE);
  expect(new Set(pieces.map(({ name }) => name)).size).toBe(pieces.length);
  for (const { title, lengthMs, timesMs, messages } of pieces) {
    expect(title).toMatch(/\w{3}/);
    expect(lengthMs).toBeGreaterThan(5000);
    // Written out several times over, it plays but once.
    expect(lengthMs).toBeLessThan(60_000);
    expect(messages).toHaveLength(3 * timesMs.length);
    expect(timesMs.length).toBeGreaterThan(20);
  }
});

test('a built-in piece that is missing or broken is reported by its path', async () => {
  await expect(readBuiltInPieces(folder())).rejects.toMatchObject({ code: 'FILE_MISSING' });
  for (const name of ['choir-warm-up', 'chapel-suspensions', 'trio-of-thirds', 'organ-sevenths'])
    await copyFile(join(DEMO, `${name}.mid`), join(folder(), `${name}.mid`));
  await writeFile(join(folder(), 'trio-of-thirds.mid'), 'Dear organist');
  const failure = await readBuiltInPieces(folder()).catch((error: unknown) => error);
  expect(failure).toBeInstanceOf(LeewayError);
  expect(failure).toMatchObject({
    code: 'SMF_NOT_MIDI',
    message: expect.stringContaining('trio-of-thirds.mid'),
  });
});
