import { nameOutput } from '../../app/midi-source.js';
import type { ListedPump, PumpExercise, PumpOptions } from '../../app/pump.js';
import { formatChord, type Pump, toKeyClass } from '../../core/score/index.js';
import {
  divide,
  formatRatio,
  sameClass,
  spellKey,
  toCents,
  UNISON,
  withKeys,
} from '../../core/theory/index.js';
import { count, formatDrift, formatSigned } from '../../core/words/index.js';
import { formatRow, wrap } from './wrap.js';

/** An exercise: its chords with the place of each root and why, and its drift. */
export function formatExercise(
  exercise: PumpExercise,
  options: PumpOptions,
  output: string | undefined,
): string[] {
  const { pump, formula, classic, drift } = exercise;
  const lines = [output === undefined ? formula : `${formula} → ${nameOutput(output)}`];
  if (classic !== undefined) lines.push(...wrap('  ', `${classic.name}: ${classic.about}`));
  lines.push('', ...formatChords(pump), '');
  lines.push(...formatRow('a pass', formatDrift(pump.drift)));
  lines.push(...formatRow(count(options.passes, 'pass', 'passes'), formatDrift(drift)));
  lines.push(...formatRow('because', formatProduct(pump)));
  lines.push(...formatRow('retuned', formatCheck(exercise)));
  if (output === undefined) lines.push(...formatRow('file', 'none was asked for; -o writes one'));
  else lines.push(...formatRow('file', formatFile(exercise, options)));
  return lines;
}

/** The classic pumps with their drifts, one a line. */
export function formatPumpList(pumps: readonly ListedPump[]): string[] {
  const width = Math.max(...pumps.map(({ classic }) => classic.name.length)) + 2;
  const indent = ' '.repeat(width + 2);
  return pumps.flatMap(({ classic, pump }) => [
    `  ${classic.name.padEnd(width)}${pump.chords.map(formatChord).join(' ')}`,
    ...wrap(indent, `${classic.formula}: ${formatDrift(pump.drift)} a pass`),
    ...wrap(indent, `${classic.about}${pump.limit === 7 ? '; tune it with --limit 7' : ''}`),
  ]);
}

/** A line for each chord of a pass, and one for the repeated first chord. */
function formatChords(pump: Pump): string[] {
  const width = Math.max(...pump.chords.map((chord) => formatChord(chord).length));
  const end = withKeys(pump.drift, 0);
  const lines = pump.chords.flatMap((_, i) => toLine(pump, i, width));
  return [...lines, ...toRow(formatChord(pump.chords[0]), width, end, toWhy(pump, pump.moves.length - 1))];
}

function toLine(pump: Pump, i: number, width: number): string[] {
  const place = withKeys(pump.at[i], toPitchKeys(pump, i));
  return toRow(formatChord(pump.chords[i]), width, place, i === 0 ? '' : toWhy(pump, i - 1));
}

/** Keys of a root above the first one, 0 to 11. */
function toPitchKeys({ chords }: Pump, i: number): number {
  return (toKeyClass(chords[i].fifths) - toKeyClass(chords[0].fifths) + 12) % 12;
}

function toRow(name: string, width: number, place: typeof UNISON, why: string): string[] {
  const ratio = formatRatio(place).padEnd(12);
  const cents = formatSigned(toCents(place)).padStart(7);
  return wrap(`  ${name.padEnd(width)}  ${ratio}${cents} c  `, why);
}

/** Why the root of the next chord is where it is. */
function toWhy({ chords, moves }: Pump, i: number): string {
  const [chord, next] = [chords[i], chords[(i + 1) % chords.length]];
  const { by, held, shifted, ratio } = moves[i];
  const name = (keyClass: number) => spellKey(keyClass, chord.fifths + 1);
  const moved = `the root moves by ${formatRatio(ratio)}`;
  const also = held.filter((keyClass) => keyClass !== by?.keyClass).map(name);
  const holds =
    also.length === 0 ? '' : `; ${also.join(' and ')} ${also.length === 1 ? 'is' : 'are'} held too`;
  const shifts =
    shifted.length === 0
      ? ''
      : `; ${shifted.map(name).join(' and ')} can't be held: ${shifted.length === 1 ? 'it is' : 'they are'} elsewhere in ${formatChord(next)}`;
  if (by === undefined) return `${moved}, as the formula says${holds}${shifts}`;
  const was = `the ${by.was.name} of ${formatChord(chord)}, ${formatRatio(by.was.ratio)}`;
  const becomes = `the ${by.becomes.name} of ${formatChord(next)}, ${formatRatio(by.becomes.ratio)}`;
  return `${name(by.keyClass)} is held: ${was}, becomes ${becomes}; so ${moved}${holds}${shifts}`;
}

function formatProduct({ moves, drift }: Pump): string {
  const product = moves.reduce(
    (all, move) => all.map((e, i) => e + move.ratio[i]) as unknown as typeof UNISON,
    UNISON,
  );
  const octaves = divide(product, drift)[0];
  const back =
    octaves === 0 ? '' : `, ${count(Math.abs(octaves), 'octave')} ${octaves < 0 ? 'down' : 'up'} left out`;
  return `${moves.map((move) => formatRatio(move.ratio)).join(' · ')} = ${formatRatio(drift)}${back}`;
}

function formatCheck({ isBorneOut, drift, retuned, played, pump }: PumpExercise): string {
  const options = `--strategy free${pump.limit === 7 ? ' --limit 7' : ''}`;
  if (isBorneOut) return `with ${options} it drifts just so, as a file and live`;
  const [way, its] = sameClass(drift, retuned) ? ['played live ', played] : ['', retuned];
  return `${way}with ${options} it comes to ${formatDrift(its)} instead: where nothing is tied, notes that come back stay where they were if they can. Tied notes make it drift`;
}

function formatFile({ voicings }: PumpExercise, { passes, secondsPerChord, tied }: PumpOptions): string {
  const chords = passes * voicings.length + 1;
  const length = (chords * secondsPerChord).toFixed(0);
  const how = tied ? 'common notes tied' : 'every note struck again';
  return `${count(voicings[0].length, 'voice')}, ${count(passes, 'pass', 'passes')} and the first chord again, ${secondsPerChord} s a chord, ${length} s; ${how}`;
}
