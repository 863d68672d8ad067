import type { Pointable } from '../../core/protocol/index.js';
import { isStage, toggleStage } from '../lecture/shortcuts.js';
import type { AppStore } from '../state/app-store.js';
import { describeTuning, nameTuning } from '../words/tunings.js';
import { ChordView } from './chord-view.js';
import { DriftFigure } from './drift-figure.js';
import { DriftView } from './drift-view.js';
import { LatticeView } from './lattice-view.js';
import { ScoreLine } from './score-line.js';

/** For a projector: what the lecturer shows, large, with a caption. It is driven from any page that may play. */
export function Stage({ store }: { store: AppStore }) {
  const { frame, settings } = store.state;
  const { heard } = store;
  const stage = frame?.stage;
  const view = stage?.view ?? 'all';
  const shows = (part: Pointable) =>
    view === part || (view === 'all' && part !== 'lattice' && part !== 'score');
  const playing = frame?.playing;
  return (
    <main class={`stage view-${view}`}>
      <h1 class="hidden">Leeway</h1>
      <header class="stage-head">
        <p class={`tuning ${heard}`}>
          <b>{nameTuning(heard)}</b>
        </p>
        <p class="sentence">{stage?.story?.sentence ?? describeTuning(heard, settings)}</p>
      </header>
      {shows('figure') && <DriftFigure store={store} stage />}
      {shows('curve') && <DriftView stage />}
      {shows('chord') && <ChordView store={store} stage />}
      {shows('lattice') && <LatticeView store={store} stage />}
      {shows('score') && <ScoreLine store={store} enabled={false} stage />}
      <footer class="stage-foot">
        <span>
          {playing ? `${playing.title}, pass ${playing.pass.n}` : 'Leeway'}
          {stage?.story ? `, step ${stage.story.step} of ${stage.story.steps}` : ''}
        </span>
        {isStage() && (
          <button type="button" class="leave" onClick={toggleStage}>
            Leave (Esc)
          </button>
        )}
      </footer>
    </main>
  );
}
