import { useLayoutEffect } from 'preact/hooks';
import { findShortcut } from '../lecture/shortcuts.js';
import type { AppStore } from '../state/app-store.js';

/** Elements that use keys themselves. */
const OWN_KEYS = 'input:not([type="radio"], [type="checkbox"]), select, textarea, [contenteditable]';
const MOVED = 'input, [role="slider"], [role="application"]';
/** Keys that some elements need where they have the focus: a button its Space, but no arrow. */
const OWNERS: Readonly<Record<string, string>> = {
  Space: 'button, summary, a, [type="checkbox"], [role="application"]',
  ArrowLeft: MOVED,
  ArrowRight: MOVED,
  Home: `${MOVED}, .scrolls`,
};

/** Lets the computer's keys drive the page, wherever the focus is but in fields. */
export function useShortcuts(store: AppStore): void {
  useLayoutEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
      const target = event.target instanceof Element ? event.target : undefined;
      if (event.key !== 'Escape' && target?.closest(OWN_KEYS)) return;
      const owners = OWNERS[event.code];
      if (owners !== undefined && target?.closest(owners)) return;
      const shortcut = findShortcut(event);
      if (shortcut === undefined || (event.repeat && event.code === 'Space')) return;
      event.preventDefault();
      shortcut.act(store);
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, [store]);
}
