import type { LinkState } from '../feed/link.js';
import type { AppStore } from '../state/app-store.js';
import { SoundControls } from './sound-controls.js';

/** The connection in words; empty while all is well. */
const LINK_WORDS: Readonly<Record<LinkState, string>> = {
  opening: 'Looking for Leeway…',
  open: '',
  lost: 'Lost touch with Leeway. Trying again. The page shows what was last heard; you can still save it.',
  'other-version': 'Leeway has been renewed. Load this page again.',
};

/** Name and purpose, the sound of this page, help, the stage, all notes off. */
export function TopLine({ store, phone }: { store: AppStore; phone?: boolean }) {
  const { link, mayControl, isGreeted } = store.state;
  const looksOn = isGreeted && !mayControl;
  return (
    <header class="top">
      <div class="top-line">
        <h1>Leeway</h1>
        {phone !== true && (
          <p class="purpose">
            {looksOn
              ? 'You look on: choose what you hear. Nothing here changes the music in the room.'
              : 'plays your notes in pure chords, and shows how far their pitch drifts'}
          </p>
        )}
        <span class="spring" />
        <SoundControls store={store} short={phone === true} />
        <button
          type="button"
          aria-label="Keys and terms"
          title="Keys and terms"
          onClick={() => store.setHelp(true)}
        >
          ?
        </button>
        {mayControl && (
          <button type="button" class="danger" onClick={() => store.allNotesOff()}>
            All notes off
          </button>
        )}
      </div>
      {phone === true && looksOn && <p class="purpose">You look on: choose what you hear.</p>}
      {LINK_WORDS[link] !== '' && (
        <p class="link" role="status">
          {LINK_WORDS[link]}
        </p>
      )}
    </header>
  );
}
