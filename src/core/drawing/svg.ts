import type { Drawing, Shape } from './shapes.js';

/**
 * Shapes as SVG text, an element each. Attributes only: programs for slides drop style sheets.
 * @example formatShapes([{ kind: 'line', from: [0, 0], to: [9, 0], stroke: '#000' }])
 *   // ['<line x1="0" y1="0" x2="9" y2="0" stroke="#000"/>']
 */
export function formatShapes(shapes: readonly Shape[]): string[] {
  return shapes.map(formatShape);
}

/**
 * A drawing as one SVG document.
 *
 * @param title its content, for screen readers
 * @param more further attributes of the root, such as a class
 */
export function formatDrawing({ width, height, shapes }: Drawing, title: string, more = ''): string {
  const size = `${roundTenth(width)} ${roundTenth(height)}`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${size}" font-family="sans-serif"${more === '' ? '' : ` ${more}`}>`,
    `<title>${escapeText(title)}</title>`,
    ...formatShapes(shapes),
    '</svg>',
  ].join('\n');
}

function formatShape(shape: Shape): string {
  switch (shape.kind) {
    case 'text': {
      const { x, y, words, size, anchor, fill, bold, italic } = shape;
      const style = `${bold ? ' font-weight="bold"' : ''}${italic ? ' font-style="italic"' : ''}${anchor === 'start' ? '' : ` text-anchor="${anchor}"`}`;
      return `<text x="${roundTenth(x)}" y="${roundTenth(y)}" font-size="${size}" fill="${fill}"${style}>${escapeText(words)}</text>`;
    }
    case 'line': {
      const [[x1, y1], [x2, y2]] = [shape.from.map(roundTenth), shape.to.map(roundTenth)];
      return `<line x1="${x1}" y1="${y1}" x2="${x2}" y2="${y2}"${formatStroke(shape)}/>`;
    }
    case 'path': {
      const d = shape.steps.map(([command, ...at]) => command + at.map(roundTenth).join(' ')).join('');
      return `<path d="${d}" fill="${shape.fill ?? 'none'}"${formatStroke(shape)}${shape.isRound === true ? ' stroke-linejoin="round"' : ''}/>`;
    }
    case 'box': {
      const { x, y, width, height, fill, round } = shape;
      return `<rect x="${roundTenth(x)}" y="${roundTenth(y)}" width="${roundTenth(width)}" height="${roundTenth(height)}"${round === undefined ? '' : ` rx="${round}"`} fill="${fill}"${formatStroke(shape)}/>`;
    }
    case 'oval': {
      const { x, y, radiusX, radiusY, fill } = shape;
      return `<ellipse cx="${roundTenth(x)}" cy="${roundTenth(y)}" rx="${radiusX}" ry="${radiusY}" fill="${fill}"${formatStroke(shape)}/>`;
    }
  }
}

function formatStroke({ stroke, thick, dash }: { stroke?: string; thick?: number; dash?: string }): string {
  if (stroke === undefined) return '';
  return ` stroke="${stroke}"${thick === undefined ? '' : ` stroke-width="${thick}"`}${dash === undefined ? '' : ` stroke-dasharray="${dash}"`}`;
}

/** A length rounded to a tenth of a unit, never -0. */
export function roundTenth(value: number): number {
  return Math.round(value * 10) / 10 + 0;
}

/**
 * Escapes text for SVG or HTML, and drops the control characters XML forbids.
 * @example escapeText('a < b')  // 'a &lt; b'
 */
export function escapeText(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replace(FORBIDDEN, '\ufffd');
}

/** Characters XML 1.0 forbids: control characters but tab and line ends, lone surrogates, U+FFFE and U+FFFF. */
const FORBIDDEN =
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the ones
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;
