import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { spellKey } from '../../core/theory/index.js';
import { toLetter } from '../../core/words/index.js';
import type { HeardNote } from '../heard/heard-chord.js';
import { toOffset, toPrint } from '../play/computer-keys.js';
import { layOutKeys } from '../play/key-layout.js';
import type { AppStore } from '../state/app-store.js';
import { useMedia, useSize } from './use-media.js';

const VELOCITY = 80;
/** Least width of a natural: a fingertip. */
const FINGER = 44;

/** The keyboard to play: fingers, mouse, the computer's keys. */
export function KeyboardView({
  store,
  notes,
  enabled,
}: {
  store: AppStore;
  notes: readonly HeardNote[];
  enabled: boolean;
}) {
  const [octave, setOctave] = useState(4);
  const [sustain, setSustain] = useState(false);
  const [cursor, setCursor] = useState(0);
  const box = useRef<HTMLDivElement>(null);
  const { width } = useSize(box);
  const hasComputerKeys = useMedia('(hover: hover)');
  const layout = useLayout();
  const lowest = 12 * (octave + 1);
  const octaves = width === 0 ? 2 : Math.max(1, Math.min(4, Math.floor(width / FINGER / 7)));
  const highest = Math.min(127, lowest + 12 * octaves);
  const { keys, width: naturals } = layOutKeys(lowest, highest);
  useComputerKeys(store, lowest, enabled);

  const sounding = new Map(notes.map((note) => [note.key, note]));
  const press = (source: string, key: number) => store.holding.press(source, key, VELOCITY);
  const pedal = (down: boolean) => {
    setSustain(down);
    store.play({ type: 'play', act: 'sustain', down });
  };
  return (
    <section class="keyboard" aria-label="Keyboard">
      <div class="keyboard-tools">
        <button
          type="button"
          disabled={!enabled || octave <= 1}
          onClick={() => setOctave(octave - 1)}
          aria-label="An octave lower"
        >
          ‹
        </button>
        <button
          type="button"
          disabled={!enabled || octave >= 7}
          onClick={() => setOctave(octave + 1)}
          aria-label="An octave higher"
        >
          ›
        </button>
        <button
          type="button"
          class="pedal"
          disabled={!enabled}
          aria-pressed={sustain}
          onClick={() => pedal(!sustain)}
        >
          Sustain
        </button>
      </div>
      <div
        ref={box}
        class={`keys${enabled ? '' : ' idle'}`}
        role="application"
        tabIndex={enabled ? 0 : -1}
        aria-label={`Keyboard from C${octave}: arrow keys choose a note, space plays it; letter keys play too`}
        aria-disabled={!enabled}
        onPointerDown={(event) => {
          const key = keyUnder(event);
          if (!enabled || key === undefined) return;
          event.preventDefault();
          (event.currentTarget as HTMLElement).focus();
          press(`pointer ${event.pointerId}`, key);
        }}
        onPointerMove={(event) => {
          // A sliding finger plays each key it reaches.
          if (event.buttons === 0) return;
          const key = keyUnder(event);
          if (enabled && key !== undefined) press(`pointer ${event.pointerId}`, key);
        }}
        onPointerUp={(event) => store.holding.release(`pointer ${event.pointerId}`)}
        onPointerCancel={(event) => store.holding.release(`pointer ${event.pointerId}`)}
        onPointerLeave={(event) => store.holding.release(`pointer ${event.pointerId}`)}
        onKeyDown={(event) => {
          if (event.key === 'ArrowRight' || event.key === 'ArrowLeft') {
            event.preventDefault();
            const step = event.key === 'ArrowRight' ? 1 : -1;
            setCursor((at) => Math.max(0, Math.min(highest - lowest, at + step)));
          }
          if (event.key === ' ' && !event.repeat) {
            event.preventDefault();
            press('space', lowest + cursor);
          }
        }}
        onKeyUp={(event) => {
          if (event.key === ' ') store.holding.release('space');
        }}
        onBlur={() => store.holding.release('space')}
      >
        <svg viewBox={`0 0 ${100 * naturals} 100`} preserveAspectRatio="none" aria-hidden="true">
          {[...keys]
            .sort((a, b) => Number(b.isNatural) - Number(a.isNatural))
            .map(({ key, isNatural, left, width: wide }) => (
              <rect
                key={key}
                data-key={key}
                class={`${isNatural ? 'natural' : 'between'}${sounding.has(key) ? ' sounds' : ''}${key === lowest + cursor ? ' cursor' : ''}`}
                x={100 * left}
                width={100 * wide}
                y={0}
                height={isNatural ? 100 : 58}
              />
            ))}
        </svg>
        {keys.map(({ key, isNatural, left, width: wide }) => {
          const note = sounding.get(key);
          const legend = hasComputerKeys && enabled ? toPrint(key - lowest, layout) : '';
          return (
            <span
              key={key}
              class={`legend ${isNatural ? 'low' : 'high'}${note === undefined ? '' : ' sounds'}`}
              ref={(element) => {
                if (element !== null) element.style.left = `${(100 * (left + wide / 2)) / naturals}%`;
              }}
            >
              {toKeyWords(key, isNatural, note)}
              {legend !== '' && <kbd>{legend}</kbd>}
            </span>
          );
        })}
      </div>
    </section>
  );
}

/** The label of a key: its sounding note, or the name of its octave. */
function toKeyWords(key: number, isWide: boolean, note: HeardNote | undefined): string {
  if (note === undefined) return key % 12 === 0 ? spellKey(key, 2, { octave: true }) : '';
  const name = isWide ? note.name : note.name.replace(/\d+/, '');
  return name.length <= (isWide ? 6 : 5) ? name : toLetter(note.name);
}

function keyUnder(event: PointerEvent): number | undefined {
  const key = document.elementFromPoint(event.clientX, event.clientY)?.getAttribute('data-key');
  return key === null || key === undefined ? undefined : Number(key);
}

/** What is printed on the reader's keys, by their place; undefined where the browser doesn't tell. */
function useLayout(): ReadonlyMap<string, string> | undefined {
  const [layout, setLayout] = useState<ReadonlyMap<string, string> | undefined>();
  useEffect(() => {
    // Not in every browser, and not in the types of the DOM.
    const { keyboard } = navigator as Navigator & {
      keyboard?: { getLayoutMap?: () => Promise<ReadonlyMap<string, string>> };
    };
    keyboard?.getLayoutMap?.().then(setLayout, () => {});
  }, []);
  return layout;
}

/** Letters play wherever the focus is, except in text fields and lists. */
function useComputerKeys(store: AppStore, lowest: number, enabled: boolean): void {
  // From the moment the keys are visible: whoever sees them may play them.
  useLayoutEffect(() => {
    if (!enabled) return;
    const down = (event: KeyboardEvent) => {
      if (
        event.repeat ||
        event.ctrlKey ||
        event.metaKey ||
        event.altKey ||
        event.shiftKey ||
        isField(event.target)
      )
        return;
      const offset = toOffset(event.code);
      if (offset !== undefined) store.holding.press(event.code, lowest + offset, VELOCITY);
    };
    const up = (event: KeyboardEvent) => store.holding.release(event.code);
    const away = () => store.holding.releaseAll();
    addEventListener('keydown', down);
    addEventListener('keyup', up);
    addEventListener('blur', away);
    return () => {
      removeEventListener('keydown', down);
      removeEventListener('keyup', up);
      removeEventListener('blur', away);
      away();
    };
  }, [store, lowest, enabled]);
}

function isField(target: EventTarget | null): boolean {
  return target instanceof HTMLInputElement
    ? !['checkbox', 'radio', 'range', 'button'].includes(target.type)
    : target instanceof HTMLSelectElement || target instanceof HTMLTextAreaElement;
}
