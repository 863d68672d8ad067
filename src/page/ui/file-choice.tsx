import { useRef, useState } from 'preact/hooks';
import { canListen, listen } from '../play/midi-input.js';
import type { AppStore } from '../state/app-store.js';

/** Sends a MIDI file of the reader's, which then plays. */
export function FileChoice({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" disabled={!enabled} onClick={() => input.current?.click()}>
        MIDI file…
      </button>
      <input
        ref={input}
        type="file"
        accept=".mid,.midi,audio/midi,.toml"
        hidden
        aria-label="MIDI file, or a story"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          if (file !== undefined) void store.upload(file);
          event.currentTarget.value = '';
        }}
      />
    </>
  );
}

/** Plays from MIDI keyboards that are connected to the browser, where it supports that. */
export function KeyboardChoice({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const [names, setNames] = useState<readonly string[] | undefined>();
  if (!canListen()) return null;
  const connect = async () => {
    try {
      await listen((order) => store.play(order), setNames);
    } catch {
      const text = 'The browser did not allow MIDI. Allow it for this page in its settings, then try again.';
      store.dispatch({ kind: 'notice', level: 'warning', text });
    }
  };
  if (names === undefined) {
    return (
      <button type="button" disabled={!enabled} onClick={connect}>
        MIDI keyboard…
      </button>
    );
  }
  return (
    <p class="connected">
      {names.length === 0 ? 'No keyboard is plugged in yet.' : `Playing from ${names.join(', ')}`}
    </p>
  );
}
