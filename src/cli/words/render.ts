import { STANDARD_STREAM } from '../../app/midi-source.js';
import type { Rendered } from '../../app/render.js';
import type { RenderChoices } from '../settings/index.js';
import { count, formatSeconds } from './numbers.js';
import { wrap } from './wrap.js';

const INDENT = 12;

/** What came of `leeway render`, in a few lines. */
export function formatRendered(
  input: string,
  output: string,
  choices: RenderChoices & { readonly source: string },
  rendered: Rendered,
): string[] {
  const name = (path: string, what: string) => (path === STANDARD_STREAM ? `standard ${what}` : path);
  const { rate, format, source } = choices;
  const bits = format === 'float' ? '32 bits, floating point' : `${format} bits`;
  const lines = [`${name(input, 'input')} → ${name(output, 'output')}`];
  lines.push(...row('sound', `${formatSeconds(rendered.seconds, 1)}; ${source}; ${rate} Hz, ${bits}`));
  lines.push(...row('level', formatLevel(choices, rendered)));
  for (const sentence of formatLeftOut(rendered)) lines.push(...row('left out', sentence));
  return lines;
}

/** What to say before a piece of several is rendered. */
export function formatPieceNote(pieces: number, piece: number): string[] {
  if (pieces === 1) return [];
  const others = `the file holds ${pieces} pieces, one a track; --piece chooses another`;
  return [`leeway: note: piece ${piece} is rendered: ${others}.`];
}

function formatLevel({ gainDb }: RenderChoices, rendered: Rendered): string {
  if (rendered.peakDb === Number.NEGATIVE_INFINITY) return 'nothing sounds';
  const peak = `the loudest moment is at ${formatDecibels(rendered.peakDb)} from full scale`;
  const moved = formatDecibels(rendered.gainDb);
  if (rendered.wasLowered && gainDb !== undefined)
    return `${peak}; a gain of ${formatDecibels(gainDb)} would have been too loud, so it is ${moved}`;
  return `${peak}; gain ${moved}`;
}

function formatLeftOut({ percussion, unknownTunings }: Rendered): string[] {
  const sentences: string[] = [];
  if (percussion > 0)
    sentences.push(`${count(percussion, 'note')} of percussion: our own voices have no drums`);
  if (unknownTunings > 0)
    sentences.push(
      `${count(unknownTunings, 'tuning message')} of a kind not understood here: only single notes are tuned`,
    );
  return sentences;
}

/** @example −1.0 dB */
function formatDecibels(decibels: number): string {
  const size = Math.abs(decibels).toFixed(1);
  const sign = size === '0.0' ? '' : decibels < 0 ? '−' : '+';
  return `${sign}${size} dB`;
}

function row(name: string, text: string): string[] {
  return wrap(`  ${name}`.padEnd(INDENT), text);
}
