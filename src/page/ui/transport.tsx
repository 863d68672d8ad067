import { useState } from 'preact/hooks';
import { TEMPO_RANGE } from '../../core/protocol/index.js';
import { loopBar, playOrPause, startOver, stepChord } from '../lecture/shortcuts.js';
import type { AppStore } from '../state/app-store.js';
import { FileChoice } from './file-choice.js';
import { ScoreLine } from './score-line.js';
import { StoryBar } from './story-bar.js';

/** The entry of the list of pieces under which one types chords. */
const FORMULA = ' formula';

/** The piece: which one, play and pause, chord by chord, a looped bar, the tempo, and its chords to go to. */
export function Transport({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const { frame, pieces, score } = store.state;
  const playing = frame?.playing ?? null;
  const isWhole = playing === null || (playing.fromMs === 0 && playing.toMs >= playing.lengthMs);
  const mayStep = enabled && playing !== null;
  return (
    <section class="transport" aria-label="Piece">
      <div class="controls">
        <PieceChoice store={store} enabled={enabled} />
        <span class="buttons">
          <IconButton label="Start over, without drift" enabled={mayStep} act={() => startOver(store)}>
            <path d="M4 3v14M16 3L6 10l10 7z" />
          </IconButton>
          <IconButton label="Chord before" enabled={mayStep} act={() => stepChord(store, -1)}>
            <path d="M14 4L7 10l7 6z" />
          </IconButton>
          <button
            type="button"
            class="strong play"
            disabled={!enabled || (playing === null && pieces.length === 0)}
            onClick={() => playOrPause(store)}
          >
            {playing === null ? 'Play' : playing.isPaused ? 'Go on' : 'Pause'}
          </button>
          <IconButton label="Next chord" enabled={mayStep} act={() => stepChord(store, 1)}>
            <path d="M6 4l7 6-7 6z" />
          </IconButton>
          <button type="button" disabled={!mayStep} onClick={() => store.piece({ act: 'stop' })}>
            Stop
          </button>
        </span>
        <button
          type="button"
          disabled={!mayStep || score === null || score.barsMs.length === 0}
          aria-pressed={!isWhole}
          onClick={() => loopBar(store)}
        >
          {isWhole ? 'Loop this bar' : 'Loop the whole piece'}
        </button>
        <label class="inline tempo">
          <span>Tempo</span>
          <input
            type="range"
            min={TEMPO_RANGE.least}
            max={2}
            step={0.05}
            value={playing?.tempo ?? 1}
            disabled={!mayStep}
            onInput={(event) => store.piece({ act: 'tempo', value: Number(event.currentTarget.value) })}
          />
          <output>{Math.round(100 * (playing?.tempo ?? 1))} %</output>
        </label>
        <FileChoice store={store} enabled={enabled} />
        {frame?.stage.story === null && <StoryBar store={store} enabled={enabled} />}
      </div>
      <ScoreLine store={store} enabled={enabled} />
    </section>
  );
}

function IconButton({
  label,
  enabled,
  act,
  children,
}: {
  label: string;
  enabled: boolean;
  act: () => void;
  children: preact.JSX.Element;
}) {
  return (
    <button type="button" class="icon" title={label} aria-label={label} disabled={!enabled} onClick={act}>
      <svg viewBox="0 0 20 20" aria-hidden="true">
        {children}
      </svg>
    </button>
  );
}

/** The list of pieces; a chosen one plays at once if another one plays. */
function PieceChoice({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const [isTyping, setTyping] = useState(false);
  const [formula, setFormula] = useState('I vi ii V');
  const { frame, pieces } = store.state;
  const playing = frame?.playing ?? null;
  // An uploaded file or typed chords are not on the list.
  const listed =
    playing === null || pieces.some(({ name }) => name === playing.name) ? pieces : [playing, ...pieces];
  const shown = isTyping ? FORMULA : (playing?.name ?? (store.chosenPiece || (pieces[0]?.name ?? '')));
  return (
    <>
      <label class="inline">
        <span class="hidden">Piece</span>
        <select
          value={shown}
          disabled={!enabled}
          onChange={(event) => {
            const { value } = event.currentTarget;
            setTyping(value === FORMULA);
            if (value === FORMULA) return;
            store.chosenPiece = value;
            if (playing !== null) store.startPiece();
            store.changed();
          }}
        >
          {listed.map(({ name, title }) => (
            <option key={name} value={name}>
              {title}
            </option>
          ))}
          <option value={FORMULA}>Chords you type…</option>
        </select>
      </label>
      {isTyping && (
        <form
          class="formula"
          onSubmit={(event) => {
            event.preventDefault();
            store.piece({ act: 'pump', formula, tempo: 1 });
          }}
        >
          <input
            type="text"
            value={formula}
            maxLength={200}
            aria-label="Chords, such as I vi ii V"
            title="Roman numerals: I, ii, V. The loop returns to the first chord."
            onInput={(event) => setFormula(event.currentTarget.value)}
          />
          <button type="submit" disabled={!enabled || formula.trim() === ''}>
            Play these
          </button>
        </form>
      )}
    </>
  );
}
