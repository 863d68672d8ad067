import type { DriftFact, Frame, SettingsFact } from '../../core/protocol/index.js';
import { formatPower } from '../words/exact.js';
import { toHeadline } from '../words/headline.js';
import { formatSigned, formatSize } from '../words/numbers.js';

type Strategy = SettingsFact['strategy'];

/** The drift in one large figure, exactly and in words. */
export function DriftFigure({ frame, strategy }: { frame: Frame | undefined; strategy: Strategy }) {
  const drift = frame?.drift[strategy];
  const cents = drift === undefined ? 0 : (drift.cents ?? drift.leftCents);
  return (
    <section class="drift" aria-label="Drift">
      <p class={`figure ${strategy}`}>
        <span class="number">{formatSigned(cents)}</span>
        <span class="unit"> c</span>
      </p>
      <div>
        <p class="exact">{drift === undefined ? ' ' : describeWalk(drift)}</p>
        <p class="headline">{toHeadline(frame)}</p>
      </div>
    </section>
  );
}

/**
 * How far the harmony has walked, and what became of it.
 * @example −2 syntonic commas, (80/81)²: 43 c down, 41 c given back
 */
function describeWalk({ ratio, comma, commaCents, backCents }: DriftFact): string {
  if (ratio === '1/1') return 'The harmony stands where it began.';
  const way = commaCents < 0 ? 'down' : 'up';
  const back = Math.abs(backCents) < 0.5 ? '' : `, ${formatSize(backCents)} given back`;
  return `${comma}, ${formatPower(ratio)}: ${formatSize(commaCents)} ${way}${back}`;
}
