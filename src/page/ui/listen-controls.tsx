import { useState } from 'preact/hooks';
import { VOICES, type VoiceName } from '../../core/theory/index.js';
import type { Heard } from '../sound/listener.js';
import type { AppStore } from '../state/app-store.js';

const HEARD: readonly [Heard, string][] = [
  ['as-sounding', 'as it sounds'],
  ['free', 'free'],
  ['pull', 'pull'],
  ['anchored', 'anchored'],
  ['temper', 'temper'],
  ['equal', '12 equal'],
];

/** The sound of this page: off at first, then low. */
export function ListenControls({ store }: { store: AppStore }) {
  const { sound } = store;
  const [, redraw] = useState(0);
  const then = (act: () => void) => {
    act();
    redraw((n) => n + 1);
  };
  return (
    <fieldset class="listen" aria-label="Sound of this page">
      <button
        type="button"
        class="strong"
        aria-pressed={sound.isOn}
        onClick={() => then(() => void (sound.isOn ? sound.turnOff() : sound.turnOn()))}
      >
        {sound.isOn ? 'Listening' : 'Listen'}
      </button>
      {sound.isOn && (
        <>
          <label class="inline">
            <span class="hidden">Heard</span>
            <select
              value={sound.heard}
              onChange={(event) => then(() => sound.setHeard(event.currentTarget.value as Heard))}
            >
              {HEARD.map(([value, words]) => (
                <option key={value} value={value}>
                  {words}
                </option>
              ))}
            </select>
          </label>
          <label class="inline">
            <span class="hidden">Voice</span>
            <select
              value={sound.voice}
              onChange={(event) => then(() => sound.setVoice(event.currentTarget.value as VoiceName))}
            >
              {VOICES.map(({ name, words }) => (
                <option key={name} value={name}>
                  {words}
                </option>
              ))}
            </select>
          </label>
          <label class="inline volume">
            <span>Volume</span>
            <input
              type="range"
              min={0}
              max={1}
              step={0.01}
              value={sound.volume}
              onInput={(event) => then(() => sound.setVolume(Number(event.currentTarget.value)))}
            />
            <small>Low first, with headphones most of all.</small>
          </label>
        </>
      )}
    </fieldset>
  );
}
