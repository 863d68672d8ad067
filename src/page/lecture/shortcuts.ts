import { TUNINGS } from '../../core/protocol/index.js';
import type { AppStore } from '../state/app-store.js';
import { nameTuning } from '../words/tunings.js';
import { findBar } from './place.js';

/** A key of the computer that drives the page, by its place on the keyboard. */
export interface Shortcut {
  readonly code: string;
  readonly shift?: boolean;
  /** As the list of keys shows it, and what it does. */
  readonly keys: string;
  readonly does: string;
  readonly act: (store: AppStore) => void;
}

const TEMPO_STEP = 1.1;

/** Every key that drives the page; letters and digits without Shift play notes. */
export const SHORTCUTS: readonly Shortcut[] = [
  { code: 'Space', keys: 'Space', does: 'play or pause; the chord sounds on', act: playOrPause },
  { code: 'ArrowRight', keys: '→', does: 'next chord', act: (store) => stepChord(store, 1) },
  { code: 'ArrowLeft', keys: '←', does: 'chord before', act: (store) => stepChord(store, -1) },
  { code: 'Home', keys: 'Home', does: 'start over, without drift', act: startOver },
  ...TUNINGS.map((tuning, i) => ({
    code: `Digit${i + 1}`,
    shift: true,
    keys: `Shift ${i + 1}`,
    does: `hear ${nameTuning(tuning)}`,
    act: (store: AppStore) => store.hear(tuning),
  })),
  {
    code: 'PageDown',
    keys: 'Page down',
    does: 'next step of the story',
    act: (store) => tell(store, 'next'),
  },
  { code: 'PageUp', keys: 'Page up', does: 'step before', act: (store) => tell(store, 'back') },
  { code: 'KeyL', keys: 'L', does: 'loop this bar, or the whole piece again', act: loopBar },
  { code: 'BracketLeft', keys: '[', does: 'slower', act: (store) => changeTempo(store, 1 / TEMPO_STEP) },
  { code: 'BracketRight', keys: ']', does: 'faster', act: (store) => changeTempo(store, TEMPO_STEP) },
  { code: 'KeyA', keys: 'A', does: 'point at something with the mouse', act: (store) => store.setPointing() },
  { code: 'KeyF', keys: 'F', does: 'stage view, and back', act: () => toggleStage() },
  { code: 'Slash', shift: true, keys: '?', does: 'show these keys', act: (store) => store.setHelp(true) },
  { code: 'Escape', keys: 'Esc', does: 'close what is open, or leave stage view', act: leave },
];

/** The shortcut of a key. */
export function findShortcut(event: Pick<KeyboardEvent, 'code' | 'key' | 'shiftKey'>): Shortcut | undefined {
  // The question mark is elsewhere on other keyboards.
  if (event.key === '?') return SHORTCUTS.find(({ keys }) => keys === '?');
  return SHORTCUTS.find(
    ({ code, shift = false }) => code === event.code && shift === event.shiftKey && code !== 'Slash',
  );
}

/** Starts the piece that plays, or the first one; or pauses it, or lets it go on. */
export function playOrPause(store: AppStore): void {
  const { frame, pieces } = store.state;
  const playing = frame?.playing;
  if (playing) store.piece({ act: 'pause', value: !playing.isPaused });
  else if (store.chosenPiece !== '' || pieces.length > 0) store.startPiece();
}

export function stepChord(store: AppStore, value: 1 | -1): void {
  if (store.state.frame?.playing) store.piece({ act: 'chord', value });
}

export function startOver(store: AppStore): void {
  if (store.state.frame?.playing) store.piece({ act: 'start-over' });
}

/** Loops the bar that sounds, or the whole piece if a part of it is looped. */
export function loopBar(store: AppStore): void {
  const { frame, score } = store.state;
  const playing = frame?.playing;
  if (!playing || score === null) return;
  const isWhole = playing.fromMs === 0 && playing.toMs >= playing.lengthMs;
  const bar = findBar(score, playing.positionMs, playing.lengthMs);
  store.piece({ act: 'stretch', value: isWhole && bar !== undefined ? bar : null });
}

function changeTempo(store: AppStore, by: number): void {
  const playing = store.state.frame?.playing;
  if (playing) store.piece({ act: 'tempo', value: Math.max(0.25, Math.min(4, playing.tempo * by)) });
}

/** The next step of the story, or the one before; the first one opens it. */
export function tell(store: AppStore, act: 'next' | 'back'): void {
  const { frame, settings } = store.state;
  const [name] = settings?.stories ?? [];
  if (frame?.stage.story) store.send({ type: 'story', act });
  else if (act === 'next' && name !== undefined) store.send({ type: 'story', act: 'open', name });
}

export function isStage(): boolean {
  return location.hash.replace(/^#/, '').split('&').includes('stage');
}

/** Opens the stage view, or the sheet, whatever was open before. */
export function toggleStage(): void {
  location.hash = isStage() ? '' : 'stage';
}

function leave(store: AppStore): void {
  if (store.isHelpOpen) store.setHelp(false);
  else if (isStage()) location.hash = '';
}
