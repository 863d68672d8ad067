import { useEffect, useState } from 'preact/hooks';
import { isStage } from '../lecture/shortcuts.js';
import type { AppStore } from '../state/app-store.js';
import { ChordView } from './chord-view.js';
import { DriftFigure } from './drift-figure.js';
import { DriftView } from './drift-view.js';
import { KeyboardChoice } from './file-choice.js';
import { lazily } from './fold.js';
import { Folds } from './folds.js';
import { HearRow } from './hear-row.js';
import { KeyboardView } from './keyboard-view.js';
import { LatticeView } from './lattice-view.js';
import { LedgerView } from './ledger-view.js';
import { Notice } from './notice.js';
import { PointerRing } from './pointer-ring.js';
import { VoiceChoice } from './sound-controls.js';
import { Stage } from './stage.js';
import { StoryBar } from './story-bar.js';
import { TopLine } from './top-line.js';
import { Transport } from './transport.js';
import { useMedia } from './use-media.js';
import { useShortcuts } from './use-shortcuts.js';
import { useStore } from './use-store.js';

const Help = lazily(async () => (await import('./help.js')).Help);

/** Screens too narrow or too low for the whole sheet. */
const SMALL = '(max-width: 760px), (max-height: 560px)';

/** The tabs of a phone. An onlooker has those that change nothing for others. */
const TABS = [
  ['curve', 'Curve'],
  ['chord', 'Chord'],
  ['lattice', 'Lattice'],
  ['ledger', 'Ledger'],
  ['play', 'Play'],
  ['more', 'More'],
] as const;
type Tab = (typeof TABS)[number][0];

/** The whole page: the sheet, the stage, or what fits a phone. */
export function App() {
  const store = useStore();
  const shows = useView();
  const isPhone = useMedia(SMALL);
  useFileDrop(store);
  useShortcuts(store);
  return (
    <>
      {shows === 'stage' ? (
        <Stage store={store} />
      ) : isPhone ? (
        <Phone store={store} />
      ) : (
        <Sheet store={store} />
      )}
      <PointerRing store={store} />
      {store.isHelpOpen && <Help store={store} />}
    </>
  );
}

function Sheet({ store }: { store: AppStore }) {
  const { mayControl, isGreeted, frame } = store.state;
  const looksOn = isGreeted && !mayControl;
  // On a low screen a piece needs the room of the keyboard, until one says otherwise.
  const isLow = useMedia('(max-height: 860px)');
  const [asked, setKeys] = useState<boolean | undefined>();
  const hasKeys = asked ?? !(isLow && frame?.playing);
  return (
    <div class={`layout${looksOn ? ' onlooker' : ''}`}>
      <TopLine store={store} />
      <HearRow store={store} />
      <main>
        <div class="upper-left">
          <DriftFigure store={store} />
          <DriftView stage={false} />
        </div>
        <ChordView store={store} stage={false} />
        <div class="middle">
          {frame?.stage.story && <StoryBar store={store} enabled={mayControl} />}
          {!looksOn && <Transport store={store} enabled={mayControl} />}
        </div>
        <LatticeView store={store} />
        <LedgerView store={store} />
      </main>
      <footer>
        <div class="foot-line">
          {mayControl && <KeyboardChoice store={store} enabled />}
          {mayControl && (
            <button type="button" aria-expanded={hasKeys} onClick={() => setKeys(!hasKeys)}>
              {hasKeys ? 'Hide the keyboard' : 'Show the keyboard'}
            </button>
          )}
          <span class="spring" />
          <Folds store={store} />
        </div>
        {!looksOn && hasKeys && <KeyboardView store={store} notes={store.heardNotes} enabled={mayControl} />}
      </footer>
      <Notice store={store} />
    </div>
  );
}

function Phone({ store }: { store: AppStore }) {
  const [tab, setTab] = useState<Tab>('curve');
  const { mayControl, isGreeted, frame } = store.state;
  const looksOn = isGreeted && !mayControl;
  const tabs = TABS.filter(([name]) => name !== 'play' || !looksOn);
  return (
    <div class="phone">
      <TopLine store={store} phone />
      <HearRow store={store} />
      <main>
        <div class="beside">
          <DriftFigure store={store} />
          {frame?.stage.story && <StoryBar store={store} enabled={mayControl} />}
        </div>
        {tab === 'curve' && <DriftView stage={false} />}
        {tab === 'chord' && <ChordView store={store} stage={false} />}
        {tab === 'lattice' && <LatticeView store={store} />}
        {tab === 'ledger' && <LedgerView store={store} />}
        {tab === 'play' && (
          <div class="scrolls">
            <Transport store={store} enabled={mayControl} />
            <KeyboardView store={store} notes={store.heardNotes} enabled={mayControl} />
          </div>
        )}
        {tab === 'more' && (
          <div class="scrolls">
            <VoiceChoice store={store} />
            <KeyboardChoice store={store} enabled={mayControl} />
            <Folds store={store} />
          </div>
        )}
      </main>
      <Notice store={store} />
      <nav aria-label="Parts of the page">
        {tabs.map(([name, words]) => (
          <button
            key={name}
            type="button"
            aria-current={tab === name ? 'page' : undefined}
            onClick={() => setTab(name)}
          >
            {words}
          </button>
        ))}
      </nav>
    </div>
  );
}

/** Whether the address asks for the stage. */
function useView(): 'sheet' | 'stage' {
  const read = () => (isStage() ? 'stage' : 'sheet');
  const [shows, setShows] = useState<'sheet' | 'stage'>(read);
  useEffect(() => {
    const look = () => setShows(read());
    addEventListener('hashchange', look);
    return () => removeEventListener('hashchange', look);
  }, []);
  return shows;
}

function useFileDrop(store: AppStore): void {
  useEffect(() => {
    const over = (event: DragEvent) => event.preventDefault();
    const drop = (event: DragEvent) => {
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file === undefined) return;
      if (store.state.mayControl) void store.upload(file);
      else
        store.dispatch({
          kind: 'notice',
          level: 'info',
          text: 'You look on: only whoever started Leeway can play a file.',
        });
    };
    addEventListener('dragover', over);
    addEventListener('drop', drop);
    return () => {
      removeEventListener('dragover', over);
      removeEventListener('drop', drop);
    };
  }, [store]);
}
