import { useEffect, useRef } from 'preact/hooks';
import { SHORTCUTS } from '../lecture/shortcuts.js';
import type { AppStore } from '../state/app-store.js';
import { TERMS } from '../words/terms.js';

/** The keys that drive the page, and the terms used on it. */
export function Help({ store }: { store: AppStore }) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => box.current?.showModal(), []);
  return (
    <dialog class="help" ref={box} aria-labelledby="help-title" onClose={() => store.setHelp(false)}>
      <header>
        <h2 id="help-title">Keys and terms</h2>
        <button type="button" onClick={() => store.setHelp(false)}>
          Close
        </button>
      </header>
      <div class="columns">
        <table>
          <tbody>
            {SHORTCUTS.map(({ keys, does }) => (
              <tr key={keys}>
                <th scope="row">
                  <kbd>{keys}</kbd>
                </th>
                <td>{does}</td>
              </tr>
            ))}
            <tr>
              <th scope="row">letters</th>
              <td>play notes, as printed on the keyboard at the foot</td>
            </tr>
          </tbody>
        </table>
        <dl>
          {Object.entries(TERMS).map(([name, words]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>{words}</dd>
            </div>
          ))}
        </dl>
      </div>
    </dialog>
  );
}
