import { LeewayError } from '../leeway-error.js';

/**
 * A picture as PNG, with the letters of this computer.
 *
 * The library is native, so it is loaded only now. Throws PICTURE_LIBRARY where it isn't there, or can't read the picture.
 *
 * @param svg a picture as SVG text
 * @param width in pixels
 */
export async function toPng(svg: string, width: number): Promise<Uint8Array> {
  try {
    const { Resvg } = await import('@resvg/resvg-js');
    const font = { loadSystemFonts: true, defaultFontFamily: 'DejaVu Sans' };
    return new Resvg(svg, { fitTo: { mode: 'width', value: width }, font }).render().asPng();
  } catch (error) {
    throw new LeewayError(
      {
        code: 'PICTURE_LIBRARY',
        message: `The library that draws PNG pictures doesn't work here: ${String(error)}.`,
        advice: 'The same picture is there as SVG, which every browser shows. npm ci may bring the library.',
      },
      { cause: error },
    );
  }
}
