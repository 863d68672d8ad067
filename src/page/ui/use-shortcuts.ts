import { useLayoutEffect } from 'preact/hooks';
import { findShortcut } from '../lecture/shortcuts.js';
import type { AppStore } from '../state/app-store.js';

/** Elements that use keys themselves. */
const OWN_KEYS = 'input:not([type="radio"], [type="checkbox"]), select, textarea, [contenteditable]';
/** Keys that buttons, sliders and lists need where they have the focus. */
const SHARED = ['Space', 'ArrowLeft', 'ArrowRight', 'Home', 'PageUp', 'PageDown'];
const SHARERS =
  'button, summary, a, input, [role="slider"], [role="application"], [role="radiogroup"], .scrolls';

/** Lets the computer's keys drive the page, wherever the focus is but in fields. */
export function useShortcuts(store: AppStore): void {
  useLayoutEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
      const target = event.target instanceof Element ? event.target : undefined;
      if (event.key !== 'Escape' && target?.closest(OWN_KEYS)) return;
      if (SHARED.includes(event.code) && !event.code.startsWith('Page') && target?.closest(SHARERS)) return;
      const shortcut = findShortcut(event);
      if (shortcut === undefined || (event.repeat && event.code === 'Space')) return;
      event.preventDefault();
      shortcut.act(store);
    };
    addEventListener('keydown', press);
    return () => removeEventListener('keydown', press);
  }, [store]);
}
