import { useEffect, useState } from 'preact/hooks';
import type { AppStore } from '../state/app-store.js';
import { sayHeadline } from '../words/drift-words.js';
import { driftOf, nameTuning } from '../words/tunings.js';

const EVERY_MS = 5000;

/** Announces the drift to a screen reader, on request, at most every five seconds and only if it has changed. */
export function Speaker({ store }: { store: AppStore }) {
  const [speaks, setSpeaks] = useState(false);
  const [said, setSaid] = useState('');
  useEffect(() => {
    if (!speaks) return;
    const say = () => setSaid(sayState(store));
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

/** The state of the music in words. */
function sayState({ state: { frame, passes }, heard }: AppStore): string {
  const hasPlayed = frame !== undefined && frame.strikeMs !== null;
  const words = sayHeadline(driftOf(frame?.drift, heard), heard, passes, hasPlayed);
  return hasPlayed ? `${nameTuning(heard)}: ${words}` : words;
}
