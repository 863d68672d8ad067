import { type ExecFileException, execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { LeewayError } from '../leeway-error.js';

/** The built program, also when the tests run the sources. */
const PROGRAM = new URL(
  import.meta.url.includes('/dist/') ? './draw-png.js' : '../../../dist/program/draw-png.js',
  import.meta.url,
);
const MOST_BYTES = 2 ** 28;
/** It usually takes some milliseconds. */
const MOST_MS = 60_000;
/** Its exit code after it has printed a reason. */
const SAID_WHY = 1;

/**
 * A picture as PNG, with the fonts of this computer.
 *
 * The native drawing library crashes on some letters with some fonts, and a piece's title may have any; so it runs in a
 * separate process. Throws PICTURE_LIBRARY if it is missing, can't read the picture, or crashed.
 *
 * @param svg a picture as SVG text
 * @param width in pixels
 * @param program the drawing program
 */
export async function toPng(
  svg: string,
  width: number,
  program = fileURLToPath(PROGRAM),
): Promise<Uint8Array> {
  return new Promise((resolve, reject) => {
    const child = execFile(
      process.execPath,
      [program, String(width)],
      { encoding: 'buffer', maxBuffer: MOST_BYTES, timeout: MOST_MS, windowsHide: true },
      (error, png, said) => {
        if (error === null) resolve(png);
        else reject(toProblem(error, said.toString()));
      },
    );
    // It may end before it has read all of it.
    child.stdin?.on('error', () => {}).end(svg);
  });
}

function toProblem(cause: ExecFileException, said: string): LeewayError {
  const isSvgThere = 'The same picture is there as SVG, which every browser shows.';
  const { code, signal } = cause;
  const [message, advice] =
    code === SAID_WHY
      ? [`doesn't work here: ${said}`, 'npm ci may bring the library.']
      : [
          `broke down over this one (${signal ?? code}); a letter of its title may be beyond it`,
          'With a plainer name of the input it may come out.',
        ];
  return new LeewayError(
    {
      code: 'PICTURE_LIBRARY',
      message: `The library that draws PNG pictures ${message}.`,
      advice: `${isSvgThere} ${advice}`,
    },
    { cause },
  );
}
