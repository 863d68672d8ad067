import type { DriftFact, Frame, SettingsFact } from '../../core/protocol/index.js';
import { parseRatio } from '../../core/theory/index.js';
import { formatCents, formatDrift, formatSigned, formatSize } from '../../core/words/index.js';
import { toHeadline } from '../words/headline.js';

type Strategy = SettingsFact['strategy'];

/** The drift in one large figure, as a ratio and in words. */
export function DriftFigure({ frame, strategy }: { frame: Frame | undefined; strategy: Strategy }) {
  const drift = frame?.drift[strategy];
  const cents = drift?.leftCents ?? 0;
  return (
    <section class="drift" aria-label="Drift">
      <p class={`figure ${strategy}`}>
        <span class="number">{formatSigned(cents)}</span>
        <span class="unit"> c</span>
      </p>
      <div>
        <p class="exact">{drift === undefined ? ' ' : describeDrift(drift)}</p>
        <p class="headline">{toHeadline(frame)}</p>
      </div>
    </section>
  );
}

/**
 * The drift of the chords, and how much of it was given back: (80/81)², −2 syntonic commas, −43.0 c; 41.2 c given back.
 */
function describeDrift({ ratio, comma, commaCents, backCents }: DriftFact): string {
  if (ratio === '1/1') return 'The harmony stands where it began.';
  const drift = parseRatio(ratio);
  const back = Math.abs(backCents) < 0.5 ? '' : `; ${formatSize(backCents)} given back`;
  // The feed cuts a ratio that is too long.
  return `${drift.ok ? formatDrift(drift.value) : `${comma}, ${formatCents(commaCents)}`}${back}`;
}
