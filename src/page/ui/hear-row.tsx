import { DRIFT_LINES } from '../../core/drawing/index.js';
import { TUNINGS, type Tuning } from '../../core/protocol/index.js';
import type { AppStore } from '../state/app-store.js';
import { figureOf } from '../words/drift-words.js';
import { describeTuning, driftOf, nameTuning } from '../words/tunings.js';

/** What one hears: 12 equal or a strategy. It changes the sound and the figures, and none of the curves. */
export function HearRow({ store }: { store: AppStore }) {
  const { frame, settings, mayControl, isGreeted } = store.state;
  const { heard, sent } = store;
  const looksOn = isGreeted && !mayControl;
  return (
    <section class="hear" aria-label="What is heard">
      <div class="hear-row" role="radiogroup" aria-labelledby="hear-label">
        <span id="hear-label" class="hear-label">
          Hear
        </span>
        {TUNINGS.map((tuning) => (
          <label key={tuning} class={tuning}>
            <input
              type="radio"
              name="hear"
              checked={heard === tuning}
              disabled={settings === undefined}
              onChange={() => store.hear(tuning)}
            />
            <span class="tile">
              <b>{nameTuning(tuning)}</b>
              <LineSample tuning={tuning} />
              <span class="cents">{figureOf(driftOf(frame?.drift, tuning).leftCents)}</span>
            </span>
          </label>
        ))}
      </div>
      <p class="hear-words">
        {describeTuning(heard, settings)}
        {looksOn && (
          <>
            {' '}
            <span class="room">
              {store.hasOwnTuning && heard !== sent
                ? `The room hears ${nameTuning(sent)}.`
                : 'So does the room.'}
            </span>
            {store.hasOwnTuning && (
              <button type="button" class="small" onClick={() => store.hear(undefined)}>
                Follow the room
              </button>
            )}
          </>
        )}
      </p>
    </section>
  );
}

/** The line of a tuning as the chart draws it. */
function LineSample({ tuning }: { tuning: Tuning }) {
  const dash = tuning === 'equal' ? [] : DRIFT_LINES[tuning].dash;
  return (
    <svg class="sample" viewBox="0 0 44 6" aria-hidden="true">
      <line x1={1} x2={43} y1={3} y2={3} stroke-dasharray={dash.join(' ')} />
    </svg>
  );
}
