import { createHash } from 'node:crypto';
import { escapeText } from '../core/drawing/index.js';

/** The parts of a page. */
export interface PageParts {
  readonly title: string;
  readonly style: string;
  /** Markup. All text from outside was escaped. */
  readonly body: string;
  /** Runs once the body is there. */
  readonly script?: string;
  /** Whether it may contain pictures as data. */
  readonly hasPictures?: boolean;
}

/**
 * A self-contained page: it opens from a disk, loads nothing, and runs only its own script, under a
 * Content-Security-Policy that lists style and script by their hashes.
 *
 * @example toStandalonePage({ title: 'A & B', style: '', body: '<p>Pure.</p>' }).includes('<title>A &amp; B</title>')  // true
 */
export function toStandalonePage({ title, style, body, script, hasPictures = false }: PageParts): string {
  const policy = [
    `default-src 'none'`,
    ...(script === undefined ? [] : [`script-src '${toHash(script)}'`]),
    `style-src '${toHash(style)}'`,
    ...(hasPictures ? ['img-src data:'] : []),
  ].join('; ');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeText(title)}</title>
<style>${style}</style>
</head>
<body>
${body}
${script === undefined ? '' : `<script>${script}</script>\n`}</body>
</html>
`;
}

/** The hash of an inline script or style in a policy. @see Content Security Policy Level 3, Hash usage */
function toHash(text: string): string {
  return `sha256-${createHash('sha256').update(text).digest('base64')}`;
}
