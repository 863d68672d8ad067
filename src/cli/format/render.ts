import { nameInput, nameOutput } from '../../app/midi-source.js';
import type { Rendered } from '../../app/render.js';
import { count, formatSeconds, formatSigned } from '../../core/words/index.js';
import type { RenderChoices } from '../settings/index.js';
import { formatRow } from './wrap.js';

/** The result of `leeway render`, in a few lines. */
export function formatRendered(
  input: string,
  output: string,
  choices: RenderChoices & { readonly source: string },
  rendered: Rendered,
): string[] {
  const { rate, format, source } = choices;
  const bits = format === 'float' ? '32 bits, floating point' : `${format} bits`;
  const lines = [`${nameInput(input)} → ${nameOutput(output)}`];
  lines.push(...formatRow('sound', `${formatSeconds(rendered.seconds, 1)}; ${source}; ${rate} Hz, ${bits}`));
  lines.push(...formatRow('level', formatLevel(choices, rendered)));
  for (const sentence of formatLeftOut(rendered)) lines.push(...formatRow('left out', sentence));
  return lines;
}

/** The note before one of several pieces is rendered. */
export function formatPieceNote(pieces: number, piece: number): string[] {
  if (pieces === 1) return [];
  const others = `the file holds ${pieces} pieces, one a track; --piece chooses another`;
  return [`leeway: note: piece ${piece} is rendered: ${others}.`];
}

function formatLevel({ gainDb }: RenderChoices, rendered: Rendered): string {
  if (rendered.peakDb === Number.NEGATIVE_INFINITY) return 'nothing sounds';
  const peak = `the loudest moment is at ${formatSigned(rendered.peakDb)} dB from full scale`;
  const moved = `${formatSigned(rendered.gainDb)} dB`;
  if (rendered.wasLowered && gainDb !== undefined)
    return `${peak}; a gain of ${formatSigned(gainDb)} dB would have been too loud, so it is ${moved}`;
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
