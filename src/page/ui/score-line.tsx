import { useEffect, useRef } from 'preact/hooks';
import { findChord } from '../lecture/place.js';
import type { AppStore } from '../state/app-store.js';

/** Chords drawn on either side of the present one. */
const AROUND = 24;

/** The chords of the piece by their names, with the present one marked; a click goes there, Shift and a click loops. */
export function ScoreLine({ store, enabled, stage }: { store: AppStore; enabled: boolean; stage?: boolean }) {
  const { score, frame } = store.state;
  const playing = frame?.playing ?? null;
  const box = useRef<HTMLOListElement>(null);
  const now = score === null || playing === null ? -1 : findChord(score, playing.positionMs);
  useEffect(() => {
    const line = box.current;
    const here = line?.querySelector<HTMLElement>('[aria-current]');
    if (!line || !here) return;
    line.scrollLeft = here.offsetLeft - (line.clientWidth - here.offsetWidth) / 2;
  }, [now, score]);
  if (score === null || score.chords.length === 0) return null;
  const first = Math.max(0, now - AROUND);
  const shown = score.chords.slice(first, Math.max(now, 0) + AROUND);
  const go = (index: number, isLoop: boolean) => {
    if (playing === null) return;
    const { atMs } = score.chords[index];
    if (!isLoop) {
      store.piece({ act: 'seek', pass: playing.pass.n, value: atMs });
      return;
    }
    const [low, high] = [Math.min(index, now), Math.max(index, now)];
    const toMs = score.chords[high + 1]?.atMs ?? playing.lengthMs;
    store.piece({ act: 'stretch', value: { fromMs: score.chords[Math.max(0, low)].atMs, toMs } });
  };
  return (
    <ol class="score" ref={box} aria-label="Chords of the piece" data-part="score">
      {shown.map((chord, i) => {
        const index = first + i;
        const words = chord.symbol || '·';
        const isBar = score.barsMs.some((bar) => Math.abs(bar - chord.atMs) < 3);
        const isOut = playing !== null && (chord.atMs < playing.fromMs - 3 || chord.atMs > playing.toMs - 3);
        return (
          <li key={index} class={`${isBar ? 'bar' : ''}${isOut ? ' out' : ''}`}>
            {enabled && stage !== true && playing !== null ? (
              <button
                type="button"
                aria-current={index === now ? 'true' : undefined}
                title="Click: go there. Shift and click: loop up to here."
                onClick={(event) => go(index, event.shiftKey)}
              >
                {words}
              </button>
            ) : (
              <span aria-current={index === now ? 'true' : undefined}>{words}</span>
            )}
          </li>
        );
      })}
    </ol>
  );
}
