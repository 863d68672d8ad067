import type { SettingsFact } from '../../core/protocol/index.js';
import type { LinkState } from '../feed/link.js';
import type { AppStore } from '../state/app-store.js';
import { describeSounding } from '../words/headline.js';
import { ListenControls } from './listen-controls.js';
import { StrategyChoice } from './strategy-choice.js';

/** The connection in words; empty while all is well. */
const LINK_WORDS: Readonly<Record<LinkState, string>> = {
  opening: 'Looking for Leeway…',
  open: '',
  lost: 'Lost touch with Leeway. Trying again. The sheet shows what was last heard; you can still save it.',
  'other-version': 'Leeway has been renewed. Load this page again.',
};

/** Name, present tuning, the strategy, the sound of this page, go home, all notes off. */
export function TopLine({
  store,
  settings,
  phone,
}: {
  store: AppStore;
  settings: SettingsFact | undefined;
  phone?: boolean;
}) {
  const { link, mayControl } = store.state;
  return (
    <header class="top">
      <div class="top-line">
        <h1>Leeway</h1>
        <p class="sounding" title="What is sent to MIDI">
          {settings === undefined ? '' : describeSounding(settings)}
        </p>
        {settings !== undefined && mayControl && phone !== true && (
          <StrategyChoice
            name="strategy"
            label="Strategy that sounds"
            groupClass="segments"
            labelClass={(strategy) => strategy}
            current={settings.strategy}
            set={(value) => store.send({ type: 'control', what: 'hear', value })}
            words={(strategy) => strategy}
          />
        )}
        <span class="spring" />
        <ListenControls store={store} />
        {mayControl && phone !== true && (
          <button type="button" onClick={() => store.send({ type: 'control', what: 'home-now' })}>
            Go home
          </button>
        )}
        <button type="button" class="danger" onClick={() => store.allNotesOff()}>
          All notes off
        </button>
      </div>
      {LINK_WORDS[link] !== '' && (
        <p class="link" role="status">
          {LINK_WORDS[link]}
        </p>
      )}
    </header>
  );
}
