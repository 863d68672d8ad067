import { createContext } from 'preact';
import { useContext, useEffect, useState } from 'preact/hooks';
import type { Desk } from '../state/desk.js';

/** The desk of this page. */
export const DeskContext = createContext<Desk | undefined>(undefined);

/** The desk; the component is drawn anew when something on it changes. */
export function useDesk(): Desk {
  const desk = useContext(DeskContext);
  if (desk === undefined) throw new Error('no desk');
  const [, redraw] = useState(0);
  useEffect(() => desk.watch(() => redraw((n) => n + 1)), [desk]);
  return desk;
}
