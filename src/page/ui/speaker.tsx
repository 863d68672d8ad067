import { useEffect, useState } from 'preact/hooks';
import type { AppStore } from '../state/app-store.js';
import { toHeadline } from '../words/headline.js';

const EVERY_MS = 5000;

/** Announces the drift to a screen reader, on request, at most every five seconds and only if it has changed. */
export function Speaker({ store }: { store: AppStore }) {
  const [speaks, setSpeaks] = useState(false);
  const [said, setSaid] = useState('');
  useEffect(() => {
    if (!speaks) return;
    const say = () => setSaid(toHeadline(store.state.frame));
    say();
    const timer = setInterval(say, EVERY_MS);
    return () => clearInterval(timer);
  }, [store, speaks]);
  return (
    <>
      <label class="inline">
        <input
          type="checkbox"
          checked={speaks}
          onChange={(event) => setSpeaks(event.currentTarget.checked)}
        />
        <span>Read the drift out</span>
      </label>
      <p class="hidden" aria-live="polite">
        {speaks ? said : ''}
      </p>
    </>
  );
}
