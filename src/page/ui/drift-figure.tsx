import type { AppStore } from '../state/app-store.js';
import { figureOf, sayAccount, sayDrift, sayPasses } from '../words/drift-words.js';
import { driftOf, nameTuning } from '../words/tunings.js';
import { Term } from './term.js';

/** The drift of what is heard: a large figure, how it comes about, and how it was after the last pass. */
export function DriftFigure({ store, stage }: { store: AppStore; stage?: boolean }) {
  const { frame, passes } = store.state;
  const { heard } = store;
  const drift = driftOf(frame?.drift, heard);
  const hasPlayed = frame !== undefined && frame.strikeMs !== null;
  const account =
    heard === 'equal' ? '12 equal makes no commas, so it stays where it began.' : sayAccount(drift);
  const name = nameTuning(heard);
  return (
    <section class="drift" aria-label="Drift of what is heard" data-part="figure">
      <p class={`figure ${heard}`}>
        <span class="caption">
          {stage === true ? (
            `Drift of ${name}`
          ) : (
            <>
              <Term name="drift">Drift</Term> of {name}
            </>
          )}
        </span>
        <span class="number">{figureOf(drift.leftCents)}</span> <span class="unit">cents</span>
      </p>
      <div class="account">
        <p class="exact">{hasPlayed ? account : 'Play something, or start a piece.'}</p>
        <p class="headline">{hasPlayed ? sayPasses(passes, heard) || compare(store) : ''}</p>
      </div>
    </section>
  );
}

/** Before the second pass: the heard tuning beside the one that differs most from it. */
function compare({ state: { frame }, heard }: AppStore): string {
  const other = heard === 'free' ? 'anchored' : 'free';
  return `${nameTuning(other)} is ${sayDrift(driftOf(frame?.drift, other).leftCents)}.`.replace(/^./, (c) =>
    c.toUpperCase(),
  );
}
