import { readPalette, toDriftSvg } from '../drift/drift-svg.js';
import { toPlotView } from '../drift/plot-view.js';
import { toCsv } from '../save/csv.js';
import { download, toFileName, toPng } from '../save/download.js';
import { addTitle, toPictureTitle } from '../save/picture-title.js';
import { toStandaloneSvg } from '../save/standalone-svg.js';
import type { AppStore } from '../state/app-store.js';

const PNG_WIDTH = 2400;

/** What can be saved as a picture: its name, and the drawing on the page, if it is one. */
const PICTURES = [
  { what: 'Drift over time', file: 'drift', drawing: undefined },
  { what: 'Chord', file: 'chord', drawing: '.ladder svg' },
  { what: 'Lattice', file: 'lattice', drawing: '#lattice-drawing' },
] as const;
type Picture = (typeof PICTURES)[number];

/** Saves curve, chord and lattice as pictures, each with its piece, tuning and date, and the session as a table. */
export function SaveMenu({ store }: { store: AppStore }) {
  const draw = ({ what, drawing }: Picture): string | undefined => {
    const palette = readPalette();
    const live = drawing === undefined ? undefined : document.querySelector<SVGSVGElement>(drawing);
    if (live === null) return undefined;
    const svg =
      live === undefined ? toDriftSvg(store.log, toPlotView(store), palette) : toStandaloneSvg(live);
    const title = toPictureTitle(what, store.state.frame?.playing ?? null, store.heard, new Date());
    return addTitle(svg, title, palette.ink, palette.paper);
  };
  const save = async (picture: Picture, as: 'svg' | 'png') => {
    const svg = draw(picture);
    if (svg === undefined) {
      const text = `Show the ${picture.file} first, then save it.`;
      store.dispatch({ kind: 'notice', level: 'info', text });
      return;
    }
    const name = toFileName(picture.file, as, new Date());
    if (as === 'svg') download(name, [svg], 'image/svg+xml');
    else download(name, [await toPng(svg, PNG_WIDTH)], 'image/png');
  };
  const saveTable = () => {
    download(toFileName('session', 'csv', new Date()), [toCsv(store.log, store.state.entries)], 'text/csv');
  };
  return (
    <>
      {PICTURES.flatMap((picture) =>
        (['svg', 'png'] as const).map((as) => (
          <button key={`${picture.file} ${as}`} type="button" onClick={() => void save(picture, as)}>
            {`${picture.what} as ${as.toUpperCase()}`}
          </button>
        )),
      )}
      <button type="button" onClick={saveTable}>
        Session as CSV
      </button>
    </>
  );
}
