import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { LeewayError } from '../../../../src/io/leeway-error.js';
import { toPng } from '../../../../src/io/picture/index.js';
import { useTemporaryFolder } from '../../../support/temporary-folder.js';

const SVG =
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 2"><rect width="4" height="2" fill="#ff0000"/></svg>';

/** The chunks of a PNG by their names. @see PNG Specification, W3C 2003, section 5 */
function chunksOf(png: Uint8Array): Map<string, Uint8Array> {
  const view = new DataView(png.buffer, png.byteOffset, png.byteLength);
  const chunks = new Map<string, Uint8Array>();
  for (let at = 8; at < png.length; ) {
    const length = view.getUint32(at);
    chunks.set(String.fromCharCode(...png.subarray(at + 4, at + 8)), png.subarray(at + 8, at + 8 + length));
    at += 12 + length;
  }
  return chunks;
}

test('a PNG shows its SVG, as wide as it should be', async () => {
  const png = await toPng(SVG, 8);
  expect([...png.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const chunks = chunksOf(png);
  const header = chunks.get('IHDR') as Uint8Array;
  const view = new DataView(header.buffer, header.byteOffset, header.byteLength);
  expect([view.getUint32(0), view.getUint32(4)]).toEqual([8, 4]);
  const pixels = inflateSync(chunks.get('IDAT') as Uint8Array);
  expect(pixels.includes(0xff)).toBe(true);
});

describe('where there is no PNG, the error says why, and what still works:', () => {
  const folder = useTemporaryFolder();

  async function failureOf(svg: string, program?: string): Promise<LeewayError> {
    const failure = await toPng(svg, 8, program).catch((error: unknown) => error);
    if (!(failure instanceof LeewayError)) throw new Error(`no error of ours: ${String(failure)}`);
    expect(failure.code).toBe('PICTURE_LIBRARY');
    expect(failure.advice).toContain('SVG');
    return failure;
  }

  test('toPng refuses what is no picture', async () => {
    const { message, advice } = await failureOf('no picture');
    expect(message).toContain("doesn't work here: Error: SVG data parsing failed");
    expect(advice).toContain('npm ci');
  });

  test('toPng survives a library that ends its process', async () => {
    const program = join(folder(), 'abort.mjs');
    await writeFile(program, 'process.abort();');
    // More than a pipe holds, none of which is read.
    const { message, advice } = await failureOf(SVG.padEnd(1_000_000), program);
    expect(message).toContain('broke down over this one (SIGABRT)');
    expect(advice).toContain('plainer name');
  });
});

// Letters over which a library for shaping text broke down, with some fonts.
test.each(['\u{11a47}', 'a\u{11a47}\u{11a47}'])(
  'a PNG with any title is drawn or refused: %j',
  async (title) => {
    const svg = SVG.replace('<rect', `<text y="1">${title}</text><rect`);
    const png = await toPng(svg, 8).catch((error: unknown) => error);
    if (png instanceof LeewayError) expect(png.code).toBe('PICTURE_LIBRARY');
    else expect((png as Uint8Array).length).toBeGreaterThan(8);
  },
);
