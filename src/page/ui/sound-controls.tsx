import { useState } from 'preact/hooks';
import { VOICES, type VoiceName } from '../../core/theory/index.js';
import type { SoundState } from '../sound/listener.js';
import type { AppStore } from '../state/app-store.js';

const BUTTON: Readonly<Record<SoundState, string>> = {
  off: 'Turn the sound on',
  on: 'Sound is on',
  blocked: 'The browser holds the sound back: press here',
};

/** Whether the caution has been read in this window. */
const CAUTIONED = 'leeway-cautioned';

/** The sound of this page: off at first, then low. It says when it is off or blocked. */
export function SoundControls({ store, short }: { store: AppStore; short?: boolean }) {
  const { sound } = store;
  const [isCautioned, setCautioned] = useState(() => sessionStorage.getItem(CAUTIONED) !== null);
  const { state } = sound;
  const press = () => {
    if (state === 'on') void sound.turnOff();
    else void sound.turnOn();
  };
  const setVolume = (volume: number) => {
    sound.setVolume(volume);
    sessionStorage.setItem(CAUTIONED, 'read');
    setCautioned(true);
    store.changed();
  };
  return (
    <fieldset class="sound" aria-label="Sound of this page">
      <button
        type="button"
        class={state === 'on' ? '' : 'strong'}
        aria-pressed={state === 'on'}
        onClick={press}
      >
        {short === true && state !== 'blocked' ? (state === 'on' ? 'Sound on' : 'Sound off') : BUTTON[state]}
      </button>
      {state !== 'off' && (
        <>
          <label class="inline volume">
            <span>Volume</span>
            <input
              type="range"
              min={0}
              max={1}
              step={0.01}
              value={sound.volume}
              title="Start low, above all with headphones."
              onInput={(event) => setVolume(Number(event.currentTarget.value))}
            />
          </label>
          {short !== true && <VoiceChoice store={store} />}
          {!isCautioned && <small class="caution">Start low, above all with headphones.</small>}
        </>
      )}
    </fieldset>
  );
}

/** The voice of this page's sound. */
export function VoiceChoice({ store }: { store: AppStore }) {
  return (
    <label class="inline">
      <span class="hidden">Voice</span>
      <select
        value={store.sound.voice}
        onChange={(event) => {
          store.sound.setVoice(event.currentTarget.value as VoiceName);
          store.changed();
        }}
      >
        {VOICES.map(({ name, words }) => (
          <option key={name} value={name}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}
