import { useRef, useState } from 'preact/hooks';
import { follow, type LatticeKey, type Place, toCentre, toLatticeKey } from '../../core/drawing/index.js';
import { toLetter } from '../../core/words/index.js';
import { drawLattice, type LatticeDrawing } from '../lattice/drawing.js';
import { type AppStore, toOrigin } from '../state/app-store.js';
import { Term } from './term.js';
import { useSize } from './use-media.js';

/** Pixels of a step, a fifth along: within these bounds, so that four rows of thirds are visible. */
const LEAST_STEP = 60;
const MOST_STEP = 92;
const HOME: Place = { x: 0.6, y: -0.3 };

/** The lattice: fifths along, major thirds up, harmonic sevenths on a short slant. */
export function LatticeView({ store, stage }: { store: AppStore; stage?: boolean }) {
  const { frame, settings } = store.state;
  const limit = settings?.limit ?? 5;
  const notes = store.heardNotes;
  const box = useRef<HTMLDivElement>(null);
  const { width, height } = useSize(box);
  const [stays, setStays] = useState(false);
  const view = useRef<Place>(HOME);
  const step = Math.max(LEAST_STEP, Math.min(stage === true ? height / 4.5 : MOST_STEP, height / 3.6));
  const half = { x: width / 2 / step, y: height / 2 / step };
  const music = toCentre(notes.map((note) => toLatticeKey(note.point)));
  if (stays) view.current = HOME;
  else if (music !== undefined) view.current = follow(view.current, music, half.x * 0.45, half.y * 0.4);
  const centre = view.current;
  const window = { centre, halfWidth: half.x, halfHeight: half.y };
  const drawing = drawLattice(
    notes.map((note) => note.point),
    store.heard === store.sent ? (frame?.recalled ?? []) : [],
    toOrigin(settings?.tonic ?? 'C'),
    store.log.chords.map((chord): LatticeKey => chord.centre),
    window,
  );
  return (
    <section class="lattice" aria-labelledby="lattice-title" data-part="lattice">
      <header>
        <h2 id="lattice-title">
          <Term name="lattice">Lattice</Term>
        </h2>
        <p>
          {store.heard === 'equal'
            ? 'where the pure intervals would be'
            : `fifths to the right, thirds up${limit >= 7 ? ', sevenths on a slant' : ''}`}
        </p>
        <button type="button" aria-pressed={stays} onClick={() => setStays(!stays)}>
          {stays ? 'Follow the music' : 'Back to home'}
        </button>
      </header>
      <div class="sheet" ref={box}>
        {width > 0 && (
          <svg
            id="lattice-drawing"
            width={width}
            height={height}
            viewBox={`${-width / 2} ${-height / 2} ${width} ${height}`}
            role="img"
            aria-label={describe(drawing)}
          >
            <g class="moving" transform={`translate(${-centre.x * step} ${-centre.y * step})`}>
              <Drawing
                drawing={drawing}
                step={step}
                left={centre.x * step - width}
                right={centre.x * step + width}
              />
            </g>
          </svg>
        )}
      </div>
    </section>
  );
}

function Drawing({ drawing, step, left, right }: DrawingProps) {
  const { dots, sails, bonds, rows, path, pointer } = drawing;
  const at = ({ x, y }: Place) => `${(x * step).toFixed(1)} ${(y * step).toFixed(1)}`;
  const radius = 0.25 * step;
  const spots = (wanted: boolean) =>
    dots
      .filter(({ state }) => (state === 'sounding') === wanted)
      .map((dot) => (
        <g key={dot.id} class={dot.state} transform={`translate(${at(dot)})`}>
          {dot.isOrigin && <circle class="origin" r={radius + 4} />}
          <circle
            class="spot"
            r={dot.state === 'silent' ? 0.8 * radius : radius}
            opacity={dot.state === 'recalled' ? 0.4 + 0.6 * Math.min(1, dot.weight * 4) : 1}
          />
          <text
            y={0.075 * step}
            text-anchor="middle"
            font-size={step * Math.min(0.2, 0.9 / toShort(dot.name).length)}
          >
            {toShort(dot.name)}
          </text>
        </g>
      ));
  return (
    <>
      {rows.map(({ y, name }) => (
        <line key={name} class="row" x1={left} x2={right} y1={y * step} y2={y * step} />
      ))}
      {sails.map(({ id, corners, kind }) => (
        <path key={id} class={`sail ${kind}`} d={`M${corners.map(at).join('L')}Z`} />
      ))}
      {spots(false)}
      {path.slice(1).map((place, i) => (
        <path
          key={place.age}
          class="path"
          d={`M${at(path[i])}L${at(place)}`}
          opacity={(1 - place.age) ** 1.5}
        />
      ))}
      {bonds.map(({ id, from, to }) => (
        <path key={id} class="bond" d={`M${at(from)}L${at(to)}`} />
      ))}
      {spots(true)}
      {pointer !== undefined && (
        <g class="pointer" transform={`translate(${at(pointer)})`}>
          <rect class="spot" x={-0.4 * step} y={-0.38 * step} width={0.8 * step} height={0.55 * step} />
          <path
            d="M-8 -6L6 0L-8 6"
            transform={`scale(${(step / 66).toFixed(2)}) rotate(${pointer.angle.toFixed(1)})`}
          />
          <text y={-0.18 * step} text-anchor="middle" font-size={Math.max(12, 0.18 * step)}>
            home
          </text>
        </g>
      )}
    </>
  );
}

interface DrawingProps {
  readonly drawing: LatticeDrawing;
  readonly step: number;
  readonly left: number;
  readonly right: number;
}

/** With large exponents the marks outgrow the letter: then the letter alone. */
function toShort(name: string): string {
  return name.length <= 7 ? name : toLetter(name);
}

function describe({ dots }: LatticeDrawing): string {
  const sounding = dots.filter((dot) => dot.state === 'sounding').map((dot) => dot.name);
  return sounding.length === 0 ? 'Nothing sounds.' : `Sounding: ${sounding.join(', ')}`;
}
