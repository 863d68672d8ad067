import { VIEWS, type View } from '../../core/protocol/index.js';
import type { AppStore } from '../state/app-store.js';
import { useAsked } from './use-asked.js';

const WORDS: Readonly<Record<View, string>> = {
  all: 'figure, curve and chord',
  figure: 'the figure',
  curve: 'the curve',
  chord: 'the chord',
  lattice: 'the lattice',
  score: 'the chord names',
};

/** What every stage shows, and the pointer: for whoever drives a projector from a laptop or a phone. */
export function StageChoice({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const [view, show] = useAsked<View>(store.state.frame?.stage.view ?? 'all', (value) =>
    store.send({ type: 'stage', act: 'view', value }),
  );
  return (
    <>
      <p>
        <a href="#stage">Open the stage here</a>, or open this page with <code>#stage</code> on the projector.
      </p>
      <label class="inline">
        <span>It shows</span>
        <select
          value={view}
          disabled={!enabled}
          onChange={(event) => show(event.currentTarget.value as View)}
        >
          {VIEWS.map((one) => (
            <option key={one} value={one}>
              {WORDS[one]}
            </option>
          ))}
        </select>
      </label>
      <button
        type="button"
        disabled={!enabled}
        aria-pressed={store.isPointing}
        onClick={() => store.setPointing()}
      >
        Point with the mouse
      </button>
    </>
  );
}
