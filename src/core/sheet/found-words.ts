import {
  equal,
  formatComma,
  formatPower,
  formatRatio,
  type PrimeVector,
  power,
  toDeviationCents,
  UNISON,
} from '../theory/index.js';
import { formatCents, formatDrift, formatFromHome, formatNumbers } from '../words/index.js';
import type { Derivation } from './derivation.js';
import type { MovedClass, Return } from './found.js';
import type { Passage } from './passage.js';

/** The comma found in a passage, in words and figures. */
export interface FoundWords {
  /** The comma as a ratio, and its name and size; undefined if the last chord has its first points. */
  readonly figure: string | undefined;
  readonly title: string;
  /** How it arises, and how far the chord is from home. */
  readonly lines: readonly string[];
  /** A line for each key class that ends elsewhere than it began. */
  readonly moved: readonly string[];
  /** What happened on the way, for each key class that came back elsewhere more than once. */
  readonly way: readonly string[];
}

/** More moves are summed up by their ratios. */
const MOST_MOVES = 12;

/** The comma found, in words. After one falling pump its figure is 80/81. */
export function toFoundWords({ found }: Passage): FoundWords {
  const { drift, shown, moved, returns, fromHomeCents, driftOfPiece } = found;
  const lines: string[] = [];
  const isBack = equal(drift, UNISON);
  if (!isBack && shown !== undefined) {
    const { letter, from, fromChord, to, toChord, derivation } = shown;
    lines.push(`${letter} is ${from} in chord ${fromChord} and ${to} in chord ${toChord}.`);
    if (derivation !== undefined) {
      if (derivation.moves.length <= MOST_MOVES) lines.push(formatMoves(derivation));
      lines.push(`${formatProduct(derivation)} = ${formatPower(shown.ratio)}`);
    } else lines.push('What leads from the one to the other lies before this passage.');
  }
  if (!equal(driftOfPiece, drift))
    lines.push(`Since the piece began the last chord has moved by ${formatMoved(driftOfPiece)}.`);
  lines.push(`As it sounds, the last chord is ${formatFromHome(fromHomeCents)}.`);
  return {
    figure: isBack ? undefined : formatPower(drift),
    title: isBack
      ? toBackTitle(moved, returns.length)
      : `${formatComma(drift)}, ${formatCents(toDeviationCents(drift))}`,
    lines,
    moved: moved.map((one) => formatClass(one, isBack ? undefined : shown)),
    way: toWay(returns),
  };
}

/** As in: On the way D came back by 80/81 in chord 8, by 81/80 in chord 10. */
function toWay(returns: readonly Return[]): string[] {
  const classes = [...new Set(returns.map(({ keyClass }) => keyClass))].sort((a, b) => a - b);
  return classes.flatMap((keyClass) => {
    const own = returns.filter((one) => one.keyClass === keyClass);
    if (own.length < 2) return [];
    const ratios = [...new Set(own.map(({ ratio }) => formatPower(ratio)))];
    const times = ratios.map((ratio) => {
      const numbers = own.filter((one) => formatPower(one.ratio) === ratio).map(({ chord }) => chord);
      return `by ${ratio} in chord${numbers.length === 1 ? '' : 's'} ${formatNumbers(numbers)}`;
    });
    return [`On the way ${own[0].letter} came back ${times.join(', ')}.`];
  });
}

function toBackTitle(moved: readonly MovedClass[], returns: number): string {
  if (moved.length > 0) return 'The last chord stands where its notes first stood; other notes do not.';
  if (returns > 0) return 'Notes came back elsewhere, and went back again: no comma is left.';
  return 'No comma: every note that came back stands where it stood.';
}

/** @example formatMoves(derivation)  // 'C⁰ –5/4→ E⁻¹ –4/3→ A⁻¹' */
export function formatMoves({ start, moves }: Derivation): string {
  return [start, ...moves.flatMap(({ name, ratio }) => [`–${formatRatio(ratio)}→`, name])].join(' ');
}

/** All moves as a product; many equal ones as a power. @example formatProduct(derivation)  // '5/4 · 4/3' */
export function formatProduct({ moves }: Derivation): string {
  const ratios = moves.map(({ ratio }) => ratio);
  const factors = ratios.length <= MOST_MOVES ? ratios.map(formatRatio) : toPowers(ratios);
  return factors.join(' · ');
}

function toPowers(ratios: readonly PrimeVector[]): string[] {
  const counts = new Map<string, { ratio: PrimeVector; count: number }>();
  for (const ratio of ratios) {
    const key = ratio.join(' ');
    counts.set(key, { ratio, count: (counts.get(key)?.count ?? 0) + 1 });
  }
  return [...counts.values()].map(({ ratio, count }) =>
    count === 1 ? formatRatio(ratio) : formatPower(power(ratio, count)),
  );
}

/** The moves are written once, for the shown class; for others only where their product differs. */
function formatClass(moved: MovedClass, shown: MovedClass | undefined): string {
  const { letter, from, fromChord, to, toChord, ratio, derivation } = moved;
  const head = `${letter}: ${from} → ${to} (chords ${fromChord}, ${toChord})`;
  if (shown !== undefined && equal(shown.ratio, ratio)) return `${head}: ${formatPower(ratio)}`;
  const because = derivation === undefined ? '' : ` = ${formatProduct(derivation)}`;
  return `${head}: ${formatMoved(ratio)}${because}`;
}

function formatMoved(ratio: PrimeVector): string {
  if (equal(ratio, UNISON)) return '1/1, nothing';
  return formatDrift(ratio);
}
