import { useEffect } from 'preact/hooks';
import type { AppStore } from '../state/app-store.js';

/** How long an information is shown. */
const NEWS_MS = 8000;

/** What the program has to say, at the foot of the page, where it covers nothing. */
export function Notice({ store }: { store: AppStore }) {
  const { notice } = store.state;
  useEffect(() => {
    // Information disappears by itself; an error stays until it is closed.
    if (notice?.level !== 'info') return;
    const timer = setTimeout(() => store.dispatch({ kind: 'notice-read' }), NEWS_MS);
    return () => clearTimeout(timer);
  }, [store, notice]);
  return (
    <div class="notice-place" role="status">
      {notice !== undefined && (
        <p class={`notice ${notice.level}`} key={notice.n}>
          <span>{notice.text}</span>
          <button type="button" onClick={() => store.dispatch({ kind: 'notice-read' })}>
            Close
          </button>
        </p>
      )}
    </div>
  );
}
