import { createContext } from 'preact';
import { useContext, useEffect, useState } from 'preact/hooks';
import type { AppStore } from '../state/app-store.js';

/** The store of this page. */
export const StoreContext = createContext<AppStore | undefined>(undefined);

/** The store; the component is rendered again when it changes. */
export function useStore(): AppStore {
  const store = useContext(StoreContext);
  if (store === undefined) throw new Error('no store');
  const [, redraw] = useState(0);
  useEffect(() => store.watch(() => redraw((n) => n + 1)), [store]);
  return store;
}
