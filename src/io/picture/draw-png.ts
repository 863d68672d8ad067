import { text } from 'node:stream/consumers';

// A separate program: SVG in, PNG out, as many pixels wide as its argument says. See `toPng`.
const font = { loadSystemFonts: true, defaultFontFamily: 'DejaVu Sans' };
const fitTo = { mode: 'width' as const, value: Number(process.argv[2]) };
try {
  const { Resvg } = await import('@resvg/resvg-js');
  process.stdout.write(new Resvg(await text(process.stdin), { fitTo, font }).render().asPng());
} catch (error) {
  process.stderr.write(String(error));
  process.exitCode = 1;
}
