import { escapeText } from '../../core/drawing/index.js';
import type { PlayingFact, Tuning } from '../../core/protocol/index.js';
import { nameTuning } from '../words/tunings.js';

/** Height of the line under a saved picture, as a share of its width, and its least in pixels. */
const SHARE = 0.045;
const LEAST = 26;

/**
 * What stands under a saved picture: what it shows, of which piece, in which tuning, and when.
 * @example toPictureTitle('Drift over time', null, 'free', new Date(0))  // 'Drift over time. Heard: free. Leeway, 1970-01-01'
 */
export function toPictureTitle(
  what: string,
  playing: Pick<PlayingFact, 'title' | 'pass'> | null,
  heard: Tuning,
  now: Date,
): string {
  const piece = playing === null ? '' : ` ${playing.title}, pass ${playing.pass.n}.`;
  return `${what}.${piece} Heard: ${nameTuning(heard)}. Leeway, ${now.toISOString().slice(0, 10)}`;
}

/**
 * A drawing with a line of words under it.
 *
 * @param svg   a whole SVG, with width, height and viewBox as its own attributes
 * @param paper colour under the words
 */
export function addTitle(svg: string, title: string, ink: string, paper: string): string {
  const opening = /^<svg[^>]*>/.exec(svg)?.[0] ?? '';
  const read = (name: string) => new RegExp(`\\s${name}="([^"]*)"`).exec(opening)?.[1] ?? '';
  const [width, height] = [Number(read('width')), Number(read('height'))];
  const box = read('viewBox').split(/[ ,]+/).map(Number);
  const [x, y, wide, high] = box.length === 4 ? box : [0, 0, width, height];
  const foot = Math.max(LEAST, SHARE * width);
  const units = wide / width;
  const size = Math.min(0.55 * foot, (1.7 * width) / title.length);
  const taller = opening
    .replace(/\sheight="[^"]*"/, ` height="${Math.round(height + foot)}"`)
    .replace(/\sviewBox="[^"]*"/, ` viewBox="${x} ${y} ${wide} ${high + foot * units}"`);
  const words = [
    `<rect x="${x}" y="${y + high}" width="${wide}" height="${foot * units}" fill="${paper}"/>`,
    `<text x="${x + 0.3 * foot * units}" y="${y + high + 0.68 * foot * units}" font-family="system-ui, sans-serif" font-size="${size * units}" fill="${ink}">${escapeText(title)}</text>`,
  ].join('');
  return svg.replace(opening, taller).replace(/<\/svg>\s*$/, `${words}</svg>`);
}
