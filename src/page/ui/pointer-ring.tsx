import { useEffect, useRef } from 'preact/hooks';
import { POINTABLES, type Pointable } from '../../core/protocol/index.js';
import type { AppStore } from '../state/app-store.js';

/** Least time between two places one points at. */
const POINT_MS = 50;

/** The ring that shows what the lecturer points at, on every page. */
export function PointerRing({ store }: { store: AppStore }) {
  const ring = useRef<HTMLDivElement>(null);
  const pointer = store.state.frame?.stage.pointer ?? null;
  useEffect(() => {
    const element = ring.current;
    if (element === null) return;
    const part = pointer === null ? null : document.querySelector(`[data-part="${pointer.at}"]`);
    element.hidden = part === null || pointer === null;
    if (part === null || pointer === null) return;
    const box = part.getBoundingClientRect();
    element.style.translate = `${box.left + pointer.x * box.width}px ${box.top + pointer.y * box.height}px`;
  });
  usePointing(store);
  return <div class="pointer-ring" ref={ring} hidden aria-hidden="true" />;
}

/** While one points, the mouse over a part of the page is a place on every stage. */
function usePointing(store: AppStore): void {
  const { isPointing } = store;
  useEffect(() => {
    if (!isPointing) return;
    let sentMs = 0;
    const move = (event: PointerEvent) => {
      const part = event.target instanceof Element ? event.target.closest('[data-part]') : null;
      const at = part?.getAttribute('data-part') as Pointable | null | undefined;
      if (!part || !at || !POINTABLES.includes(at)) return;
      if (performance.now() - sentMs < POINT_MS) return;
      sentMs = performance.now();
      const box = part.getBoundingClientRect();
      const share = (value: number) => Math.round(1000 * Math.max(0, Math.min(1, value))) / 1000;
      store.point({
        at,
        x: share((event.clientX - box.left) / box.width),
        y: share((event.clientY - box.top) / box.height),
      });
    };
    addEventListener('pointermove', move);
    return () => removeEventListener('pointermove', move);
  }, [store, isPointing]);
}
