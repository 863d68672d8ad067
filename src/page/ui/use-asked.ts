import { useEffect, useState } from 'preact/hooks';

/** How long the page shows what was asked for while no answer has come. */
const PATIENCE_MS = 1000;

/**
 * What a control shows: the setting as Leeway tells it, but what was just asked for until the answer is there,
 * so that a drawing in between (the music goes on) doesn't set the control back under the finger.
 *
 * An order that is refused or lost shows the true setting again after a second.
 *
 * @example const [strategy, ask] = useAsked(settings.strategy, send);
 */
export function useAsked<T>(told: T, send: (value: T) => void): [shown: T, ask: (value: T) => void] {
  const [asked, setAsked] = useState<{ over: T; value: T } | undefined>();
  useEffect(() => {
    if (asked === undefined) return;
    const timer = setTimeout(() => setAsked(undefined), PATIENCE_MS);
    return () => clearTimeout(timer);
  }, [asked]);
  const shown = asked !== undefined && Object.is(asked.over, told) ? asked.value : told;
  return [
    shown,
    (value) => {
      setAsked({ over: told, value });
      send(value);
    },
  ];
}
