/** Longest printed line, in columns. */
export const LINE_WIDTH = 100;

/** Allowed line breaks: at spaces, but not between a number and its unit, c for cents. */
const BREAK = / +(?!c(?:[ ,;:.)]|$))/;

const INDENT = 12;

/**
 * A text beside a name at the left.
 * @example formatRow('drift', 'none at the end')  // ['  drift     none at the end']
 */
export function formatRow(name: string, text: string, indent = INDENT): string[] {
  return wrap(`  ${name}`.padEnd(indent), text);
}

/**
 * Breaks text into lines at its spaces. Runs of spaces between words become one; a word longer than a line has a
 * separate line.
 *
 * @param head  start of the first line; the others start with as many spaces
 * @example wrap('  why   ', 'held since the bar before', 24)  // ['  why   held since the', '        bar before']
 */
export function wrap(head: string, text: string, width = LINE_WIDTH): string[] {
  const indent = ' '.repeat(head.length);
  const lines: string[] = [];
  let line = head;
  let empty = true;
  for (const word of text.split(BREAK)) {
    if (!empty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = indent;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  lines.push(line);
  return lines;
}
