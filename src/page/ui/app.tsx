import { useEffect, useState } from 'preact/hooks';
import type { AppStore } from '../state/app-store.js';
import { ChordView } from './chord-view.js';
import { DriftFigure } from './drift-figure.js';
import { DriftTable } from './drift-table.js';
import { DriftView } from './drift-view.js';
import { KeyboardView } from './keyboard-view.js';
import { LatticeView } from './lattice-view.js';
import { LedgerView } from './ledger-view.js';
import { PiecesView } from './pieces-view.js';
import { SaveMenu } from './save-menu.js';
import { SettingsView } from './settings-view.js';
import { TopLine } from './top-line.js';
import { useMedia } from './use-media.js';
import { useStore } from './use-store.js';

/** The tabs of a phone beside the keyboard: the drift curve and chord, or one of the rest. */
const TABS = [
  ['curve', 'Drift curve'],
  ['lattice', 'Lattice'],
  ['ledger', 'Ledger'],
  ['pieces', 'Pieces'],
  ['settings', 'Settings'],
] as const;
type Tab = (typeof TABS)[number][0];

/** How long an information notice is shown. */
const NEWS_MS = 8000;

/** The whole page. */
export function App() {
  const store = useStore();
  const isStage = useStage();
  const isPhone = useMedia('(max-width: 760px)');
  const [span, setSpan] = useState(60);
  const [tab, setTab] = useState<Tab>('curve');
  useFileDrop(store);
  const { frame, settings, entries, missed, mayControl, isGreeted, pieces } = store.state;
  const strategy = settings?.strategy ?? 'anchored';
  const notes = frame?.notes ?? [];

  const curve = <DriftView span={span} setSpan={setSpan} stage={isStage} />;
  const drift = <DriftFigure frame={frame} strategy={strategy} />;
  const chord = <ChordView notes={notes} more={frame?.more ?? 0} strategy={strategy} stage={isStage} />;
  if (isStage) {
    return (
      <main class="stage">
        <h1 class="hidden">Leeway</h1>
        {drift}
        {curve}
        {chord}
        <Notice store={store} />
      </main>
    );
  }
  const lattice = (
    <LatticeView
      frame={frame}
      chords={store.log.chords}
      tonic={settings?.tonic ?? 'C'}
      limit={settings?.limit ?? 5}
    />
  );
  const ledger = <LedgerView entries={entries} frame={frame} missed={missed} />;
  const piecesRow = (
    <PiecesView
      store={store}
      pieces={pieces}
      playing={frame?.playing ?? null}
      enabled={mayControl}
      looksOn={isGreeted && !mayControl}
    />
  );
  const settingsForm = settings !== undefined && (
    <SettingsView settings={settings} enabled={mayControl} send={(order) => store.send(order)} />
  );
  const keyboard = <KeyboardView store={store} notes={notes} enabled={mayControl} />;
  const tools = (
    <div class="tools">
      <DriftTable store={store} />
      <SaveMenu store={store} span={span} />
      <a href="#stage">Stage</a>
    </div>
  );
  if (isPhone) {
    return (
      <div class="phone">
        <TopLine store={store} settings={settings} phone />
        <main>
          {drift}
          {tab === 'curve' && curve}
          {tab === 'curve' && chord}
          {tab === 'lattice' && lattice}
          {tab === 'ledger' && ledger}
          {tab === 'pieces' && (
            <div class="scrolls">
              {piecesRow}
              {tools}
            </div>
          )}
          {tab === 'settings' && <div class="scrolls">{settingsForm}</div>}
        </main>
        {keyboard}
        <nav aria-label="Parts of the sheet">
          {TABS.map(([name, words]) => (
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
        <Notice store={store} />
      </div>
    );
  }
  return (
    <div class="layout">
      <TopLine store={store} settings={settings} />
      <main>
        <div class="upper-left">
          {drift}
          {curve}
        </div>
        {chord}
        {lattice}
        {ledger}
      </main>
      <footer>
        <div class="foot-line">
          {piecesRow}
          {tools}
          <details class="fold settings-fold">
            <summary>Settings</summary>
            <div>{settingsForm}</div>
          </details>
        </div>
        {keyboard}
      </footer>
      <Notice store={store} />
    </div>
  );
}

function Notice({ store }: { store: AppStore }) {
  const { notice } = store.state;
  useEffect(() => {
    // Information disappears by itself; an error stays until it is dismissed.
    if (notice?.level !== 'info') return;
    const timer = setTimeout(() => store.dispatch({ kind: 'notice-read' }), NEWS_MS);
    return () => clearTimeout(timer);
  }, [store, notice]);
  return (
    <div class="notice-place" role="status">
      {notice !== undefined && (
        <p class={`notice ${notice.level}`} key={notice.n}>
          {notice.text}
          <button type="button" onClick={() => store.dispatch({ kind: 'notice-read' })}>
            Read
          </button>
        </p>
      )}
    </div>
  );
}

/** Whether the address asks for stage view; Escape leaves it. */
function useStage(): boolean {
  const [isStage, setStage] = useState(location.hash === '#stage');
  useEffect(() => {
    const look = () => setStage(location.hash === '#stage');
    const leave = (event: KeyboardEvent) => {
      if (event.key === 'Escape' && location.hash === '#stage') history.back();
    };
    addEventListener('hashchange', look);
    addEventListener('keydown', leave);
    return () => {
      removeEventListener('hashchange', look);
      removeEventListener('keydown', leave);
    };
  }, []);
  return isStage;
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
          text: 'You are looking on: only whoever started Leeway can play a file.',
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
