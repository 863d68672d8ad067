import type { RefObject } from 'preact';
import { useEffect, useState } from 'preact/hooks';

/** Whether a media query holds, now and when it changes. @example useMedia('(prefers-reduced-motion: reduce)'); */
export function useMedia(query: string): boolean {
  const [holds, setHolds] = useState(() => matchMedia(query).matches);
  useEffect(() => {
    const list = matchMedia(query);
    const look = () => setHolds(list.matches);
    look();
    list.addEventListener('change', look);
    return () => list.removeEventListener('change', look);
  }, [query]);
  return holds;
}

/** Size of an element in pixels of the page, followed as it changes. */
export function useSize(ref: RefObject<Element | null>): { width: number; height: number } {
  const [size, setSize] = useState({ width: 0, height: 0 });
  useEffect(() => {
    const element = ref.current;
    if (element === null) return;
    const observer = new ResizeObserver(([entry]) => {
      const { width, height } = entry.contentRect;
      setSize((old) => (old.width === width && old.height === height ? old : { width, height }));
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, [ref]);
  return size;
}

/** Size of the page's letters in pixels, which grows with the window. */
export function useRem(): number {
  const [rem, setRem] = useState(readRem);
  useEffect(() => {
    const look = () => setRem(readRem());
    addEventListener('resize', look);
    return () => removeEventListener('resize', look);
  }, []);
  return rem;
}

function readRem(): number {
  return Number.parseFloat(getComputedStyle(document.documentElement).fontSize);
}

/** What sizes on the stage grow with: the height of the screen, or of a wide screen as wide as this one. */
export function toHall(): number {
  return Math.min(innerHeight, 0.75 * innerWidth);
}
