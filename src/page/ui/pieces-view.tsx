import { useEffect, useRef, useState } from 'preact/hooks';
import { type PieceFact, type PlayingFact, TEMPO_RANGE } from '../../core/protocol/index.js';
import { canListen, listen } from '../play/midi-input.js';
import type { AppStore } from '../state/app-store.js';

/** Pieces to start and stop, their tempo, the loop, an uploaded file, and a keyboard connected to the browser. */
export function PiecesView({
  store,
  pieces,
  playing,
  enabled,
  looksOn,
}: {
  store: AppStore;
  pieces: readonly PieceFact[];
  playing: PlayingFact | null;
  enabled: boolean;
  looksOn: boolean;
}) {
  const [chosen, setChosen] = useState('');
  const [tempo, setTempo] = useState(1);
  const [loops, setLoops] = useState(true);
  const name = playing?.name ?? (chosen || pieces[0]?.name || '');
  // An uploaded file is not on the list.
  const listed =
    playing === null || pieces.some((piece) => piece.name === playing.name) ? pieces : [playing, ...pieces];
  // A change made by another viewer shows here too.
  useEffect(() => {
    if (playing === null) return;
    setTempo(playing.tempo);
    setLoops(playing.loop);
  }, [playing?.tempo, playing?.loop, playing === null]);
  if (looksOn) {
    return (
      <p class="looking-on">
        You are looking on. Whoever started Leeway can play, from the address it printed.
      </p>
    );
  }
  return (
    <section class="pieces" aria-label="Pieces">
      <label class="inline">
        <span class="hidden">Piece</span>
        <select value={name} disabled={!enabled} onChange={(event) => setChosen(event.currentTarget.value)}>
          {listed.map((piece) => (
            <option key={piece.name} value={piece.name}>
              {piece.title}
            </option>
          ))}
        </select>
      </label>
      {playing === null ? (
        <button
          type="button"
          class="strong"
          disabled={!enabled || name === ''}
          onClick={() => store.send({ type: 'piece', act: 'start', name, tempo, loop: loops })}
        >
          Start
        </button>
      ) : (
        <button
          type="button"
          class="strong"
          disabled={!enabled}
          onClick={() => store.send({ type: 'piece', act: 'stop' })}
        >
          Stop
        </button>
      )}
      <label class="inline">
        <span>Tempo</span>
        <input
          type="range"
          min={TEMPO_RANGE.least}
          max={2}
          step={0.05}
          value={tempo}
          disabled={!enabled}
          onInput={(event) => {
            const value = Number(event.currentTarget.value);
            setTempo(value);
            if (playing !== null) store.send({ type: 'piece', act: 'tempo', value });
          }}
        />
        <output>{Math.round(100 * tempo)} %</output>
      </label>
      <label class="inline">
        <input
          type="checkbox"
          checked={loops}
          disabled={!enabled}
          onChange={(event) => {
            const value = event.currentTarget.checked;
            setLoops(value);
            if (playing !== null) store.send({ type: 'piece', act: 'loop', value });
          }}
        />
        <span>Loop</span>
      </label>
      <FileChoice store={store} enabled={enabled} />
      {canListen() && <Connected store={store} enabled={enabled} />}
    </section>
  );
}

function FileChoice({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" disabled={!enabled} onClick={() => input.current?.click()}>
        MIDI file…
      </button>
      <input
        ref={input}
        type="file"
        accept=".mid,.midi,audio/midi"
        hidden
        aria-label="MIDI file"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          if (file !== undefined) void store.upload(file);
          event.currentTarget.value = '';
        }}
      />
    </>
  );
}

function Connected({ store, enabled }: { store: AppStore; enabled: boolean }) {
  const [names, setNames] = useState<readonly string[] | undefined>();
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
