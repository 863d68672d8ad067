import { useEffect, useState } from 'preact/hooks';

/** How long the page shows a requested value without an answer. */
const PATIENCE_MS = 1000;

/**
 * The value a control shows: the setting in force, but a requested value until it is answered. So a render in between
 * (the music goes on) doesn't reset the control under the finger. A refused or lost order shows the true setting again
 * after a second.
 *
 * @example const [strategy, ask] = useAsked(settings.strategy, send);
 */
export function useAsked<T>(current: T, send: (value: T) => void): [shown: T, ask: (value: T) => void] {
  const [asked, setAsked] = useState<{ over: T; value: T } | undefined>();
  useEffect(() => {
    if (asked === undefined) return;
    const timer = setTimeout(() => setAsked(undefined), PATIENCE_MS);
    return () => clearTimeout(timer);
  }, [asked]);
  const shown = asked !== undefined && Object.is(asked.over, current) ? asked.value : current;
  return [
    shown,
    (value) => {
      setAsked({ over: current, value });
      send(value);
    },
  ];
}
