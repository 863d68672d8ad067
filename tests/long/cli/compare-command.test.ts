import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parseMidiFile } from '../../../src/core/midi/index.js';
import { runCli } from '../../support/run-cli.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const PIECE = 'configs/demo/trio-of-thirds.mid';

describe('leeway compare', () => {
  const temporary = useTemporaryFolder();
  const at = (name: string) => join(temporary(), name);

  test('writes a page, a picture, tables and every version, and says how they compare', async () => {
    const folder = at('out');
    const { code, out, err } = await runCli(['compare', PIECE, '-o', folder, '--no-sound']);
    expect([code, err]).toEqual([0, '']);
    expect(readdirSync(folder).sort()).toEqual([
      'trio-of-thirds-anchored.mid',
      'trio-of-thirds-free.mid',
      'trio-of-thirds-live.mid',
      'trio-of-thirds-pull.mid',
      'trio-of-thirds-temper.mid',
      'trio-of-thirds.csv',
      'trio-of-thirds.html',
      'trio-of-thirds.json',
      'trio-of-thirds.png',
      'trio-of-thirds.svg',
    ]);
    expect(out).toMatch(/12 equal +\d+\.\d % +\d+\.\d\d a second/);
    expect(out).toContain('10 files: ');
    expect(parseMidiFile(new Uint8Array(readFileSync(join(folder, 'trio-of-thirds-free.mid')))).ok).toBe(
      true,
    );
    const page = readFileSync(join(folder, 'trio-of-thirds.html'), 'utf8');
    expect(page).toContain("default-src 'none'");
    expect(page).not.toMatch(/<(script|link|img)[^>]+(src|href)=/);
  });

  test('writes sound with every version equally loud', async () => {
    const folder = at('sounding');
    const { code } = await runCli(['compare', PIECE, '-o', folder, '--bits', '16']);
    expect(code).toBe(0);
    const sounds = readdirSync(folder).filter((name) => name.endsWith('.wav'));
    expect(sounds).toHaveLength(6);
    const levels = sounds.map((name) => toLevel(readFileSync(join(folder, name))));
    // 12 equal beats where the others stand still, so its level differs a little.
    expect(Math.max(...levels) / Math.min(...levels)).toBeLessThan(1.1);
  });

  test('writes nothing at a mistake, a file in the place of the folder, or a missing piece', async () => {
    const folder = at('nothing');
    for (const words of [
      ['compare', PIECE, '-o', folder, '--strategy', 'anchord'],
      ['compare', 'configs/demo/none.mid', '-o', folder],
      ['compare', PIECE, '-o', PIECE],
      ['compare', PIECE, '-o', folder, '--piece', '2'],
    ]) {
      const { code, err } = await runCli(words);
      expect(code).toBe(2);
      expect(err).toMatch(/\[[A-Z_]+\]\n$/);
    }
    expect(existsSync(folder)).toBe(false);
  });
});

/** Root of the mean square of 16-bit samples. */
function toLevel(wav: Buffer): number {
  const samples = new Int16Array(
    wav.buffer.slice(wav.byteOffset + 44, wav.byteOffset + wav.length - (wav.length % 2)),
  );
  let sum = 0;
  for (const sample of samples) sum += sample * sample;
  return Math.sqrt(sum / samples.length);
}
