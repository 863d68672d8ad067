import { readPalette, toDriftSvg } from '../drift/drift-svg.js';
import { toCsv } from '../save/csv.js';
import { download, toFileName, toPng } from '../save/download.js';
import { toStandaloneSvg } from '../save/standalone-svg.js';
import type { AppStore } from '../state/app-store.js';

const PNG_WIDTH = 2400;

/** Saves drift curve and lattice as pictures, and the session as a table. */
export function SaveMenu({ store, span }: { store: AppStore; span: number }) {
  const driftSvg = () => {
    const { frame, settings, passes } = store.state;
    const leewayCents = settings?.leewayCents[settings.strategy === 'pull' ? 'pull' : 'anchored'] ?? 0;
    const nowSeconds = (frame?.atMs ?? 0) / 1000;
    return toDriftSvg({ log: store.log, nowSeconds, spanSeconds: span, leewayCents, passes }, readPalette());
  };
  const latticeSvg = () => {
    const live = document.querySelector<SVGSVGElement>('#lattice-drawing');
    return live === null ? undefined : toStandaloneSvg(live);
  };
  const save = async (what: 'drift curve' | 'lattice', as: 'svg' | 'png') => {
    const svg = what === 'drift curve' ? driftSvg() : latticeSvg();
    if (svg === undefined) {
      store.dispatch({ kind: 'notice', level: 'info', text: 'Open the lattice first, then save it.' });
      return;
    }
    const name = toFileName(what.replace(' ', '-'), as, new Date());
    if (as === 'svg') download(name, [svg], 'image/svg+xml');
    else download(name, [await toPng(svg, PNG_WIDTH)], 'image/png');
  };
  const saveTable = () => {
    download(toFileName('session', 'csv', new Date()), [toCsv(store.log, store.state.entries)], 'text/csv');
  };
  return (
    <details class="fold save">
      <summary>Save</summary>
      <div>
        {(['drift curve', 'lattice'] as const).flatMap((what) =>
          (['svg', 'png'] as const).map((as) => (
            <button key={`${what} ${as}`} type="button" onClick={() => void save(what, as)}>
              {`${what === 'lattice' ? 'Lattice' : 'Drift curve'} as ${as.toUpperCase()}`}
            </button>
          )),
        )}
        <button type="button" onClick={saveTable}>
          Session as CSV
        </button>
      </div>
    </details>
  );
}
