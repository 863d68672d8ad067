import { inflateSync } from 'node:zlib';
import { expect, it } from 'vitest';
import { LeewayError } from '../../../src/io/leeway-error.js';
import { toPng } from '../../../src/io/picture/index.js';

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

it('draws what the SVG says, as wide as it is asked to', async () => {
  const svg =
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 2"><rect width="4" height="2" fill="#ff0000"/></svg>';
  const png = await toPng(svg, 8);
  expect([...png.subarray(0, 8)]).toEqual([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const chunks = chunksOf(png);
  const header = chunks.get('IHDR') as Uint8Array;
  const view = new DataView(header.buffer, header.byteOffset, header.byteLength);
  expect([view.getUint32(0), view.getUint32(4)]).toEqual([8, 4]);
  const pixels = inflateSync(chunks.get('IDAT') as Uint8Array);
  expect(pixels.includes(0xff)).toBe(true);
});

it('what is no picture is an error that says what still works', async () => {
  const failure = await toPng('no picture', 8).catch((error: unknown) => error);
  expect(failure).toBeInstanceOf(LeewayError);
  expect(failure).toMatchObject({ code: 'PICTURE_LIBRARY', advice: expect.stringContaining('SVG') });
});
