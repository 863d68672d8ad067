import { useEffect, useRef, useState } from 'preact/hooks';
import { spread } from '../../core/drawing/index.js';
import { STRATEGIES, type Tuning } from '../../core/protocol/index.js';
import { DriftCanvas, type LineEnd } from '../drift/drift-canvas.js';
import { readPalette } from '../drift/drift-svg.js';
import { toPlotView } from '../drift/plot-view.js';
import { findMoment, formatAgo, SPANS, type TimeWindow } from '../drift/scales.js';
import { toPlaceAt } from '../lecture/place.js';
import type { AppStore } from '../state/app-store.js';
import { toSteps } from '../state/steps.js';
import { figureOf } from '../words/drift-words.js';
import { nameTuning } from '../words/tunings.js';
import { Term } from './term.js';
import { toHall, useMedia, useRem, useSize } from './use-media.js';
import { useStore } from './use-store.js';

/** A step counts as pointed at from this share of the window away. */
const NEAR = 0.02;

/** The drift over time: one line a strategy, home, the leeway, the steps, and a reading of any moment. */
export function DriftView({ stage }: { stage: boolean }) {
  const store = useStore();
  const box = useRef<HTMLDivElement>(null);
  const plot = useRef<DriftCanvas>(undefined);
  const [ends, setEnds] = useState<readonly LineEnd[]>([]);
  /** The moment that is read, in seconds; undefined: now. */
  const [read, setRead] = useState<number | undefined>();
  const size = useSize(box);
  const isDark = useMedia('(prefers-color-scheme: dark)');
  const isCalm = useMedia('(prefers-reduced-motion: reduce)');
  const isNarrow = size.width > 0 && size.width < 560;
  // In stage view everything grows with the height of the screen.
  const hall = Math.round(toHall() / 30);
  const rem = useRem();
  const fontSize = stage ? hall : 0.8 * rem;
  const right = stage ? (size.width > 40 * hall ? 13 : 9.6) * hall : isNarrow ? 8.8 * rem : 13.6 * rem;

  useEffect(() => {
    if (box.current === null) return;
    const edges = { left: stage ? 3.2 * hall : 3.3 * rem, right };
    const made = new DriftCanvas(box.current, readPalette(), edges, fontSize);
    plot.current = made;
    return () => made.destroy();
  }, [isDark, right, fontSize, stage, hall, rem]);

  useEffect(() => {
    if (size.width > 0) plot.current?.resize(size.width, size.height);
  }, [size.width, size.height]);

  useEffect(() => {
    let drawnMs = 0;
    const draw = () => {
      if (plot.current === undefined) return;
      const now = performance.now();
      // With reduced motion the chart is drawn once a second.
      if (isCalm && now - drawnMs < 1000) return;
      drawnMs = now;
      plot.current.draw(store.log, toPlotView(store), read);
      setEnds(plot.current.ends(store.log));
    };
    draw();
    return store.watch(draw);
  }, [store, isCalm, isDark, right, size.width, size.height, fontSize, read]);

  const gap = stage ? 1.25 * hall : 1.35 * rem;
  const foot = Math.max(gap, size.height - (stage ? 2.4 * hall : 2.2 * rem));
  const named = chooseEnds(ends, store.heard, Math.floor(foot / gap));
  const labels = spread(
    named.map((end) => end.y),
    gap,
    gap / 2,
    foot,
  );
  const { window } = toPlotView(store);
  const reading = read === undefined ? undefined : readMoment(store, read, window.to - window.from);
  const steps = toSteps(store.state.entries, store.heard, store.log);
  const seek = (at: number | undefined) => {
    const { playing } = store.state.frame ?? {};
    if (at === undefined || !playing) return;
    const place = toPlaceAt(at, store.state.passes, playing);
    if (place !== undefined) store.piece({ act: 'seek', ...place });
  };
  return (
    <section class="curve" aria-labelledby="curve-title" data-part="curve">
      <header>
        <h2 id="curve-title">Drift over time</h2>
        <p class="reading">{reading ?? steps.at(-1)?.sentence ?? (stage ? '' : <Scale />)}</p>
        {!stage && <SpanChoice store={store} />}
      </header>
      <div
        class="sheet"
        role="slider"
        tabIndex={stage ? -1 : 0}
        aria-label="Moment read from the chart: arrow keys move it, Enter goes there"
        aria-valuemin={Math.round(window.from)}
        aria-valuemax={Math.round(window.to)}
        aria-valuenow={Math.round(read ?? window.to)}
        aria-valuetext={reading ?? 'now'}
        onClick={(event) => seek(plot.current?.timeAt(event.clientX))}
        onPointerMove={(event) => setRead(plot.current?.timeAt(event.clientX))}
        onPointerLeave={() => setRead(undefined)}
        onKeyDown={(event) => {
          if (event.key === 'Enter') seek(read);
          const moved = moveReading(event.key, read, window);
          if (moved === undefined) return;
          event.preventDefault();
          setRead(moved === 'now' ? undefined : moved);
        }}
        onBlur={() => setRead(undefined)}
      >
        <div class="plot" ref={box} />
        {named.map(({ line, cents, beyond }, i) => (
          <span
            key={line}
            class={`line-end ${line}${line === store.heard ? ' heard' : ''}`}
            ref={(element) => place(element, labels[i], right)}
          >
            <b>{nameTuning(line)}</b> {figureOf(cents)}
            {beyond === 'bottom' ? ' ↓' : beyond === 'top' ? ' ↑' : ''}
          </span>
        ))}
      </div>
    </section>
  );
}

/** What lines and bands mean. */
function Scale() {
  return (
    <>
      in <Term name="cent">cents</Term>; the level line is <Term name="home">home</Term>, the pale band the{' '}
      <Term name="leeway">leeway</Term>
    </>
  );
}

function SpanChoice({ store }: { store: AppStore }) {
  return (
    <label class="inline">
      <span>Show</span>
      <select
        value={SPANS.findIndex(([span]) => span === store.span)}
        onChange={(event) => {
          store.span = SPANS[Number(event.currentTarget.value)][0];
          store.changed();
        }}
      >
        {SPANS.map(([, words], i) => (
          <option key={words} value={i}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The ends that have room for their names: the heard one, and those farthest from it. */
function chooseEnds(ends: readonly LineEnd[], heard: Tuning, most: number): readonly LineEnd[] {
  if (ends.length <= most) return ends;
  const own = ends.find(({ line }) => line === heard);
  const distance = (end: LineEnd) => (end === own ? Infinity : Math.abs(end.cents - (own?.cents ?? 0)));
  const chosen = [...ends].sort((a, b) => distance(b) - distance(a)).slice(0, Math.max(1, most));
  return ends.filter((end) => chosen.includes(end));
}

function place(element: HTMLElement | null, y: number | undefined, right: number): void {
  if (element === null || y === undefined) return;
  element.style.top = `${y}px`;
  element.style.left = `calc(100% - ${right - 8}px)`;
}

/** The moment an arrow key leads to: a fortieth of the window a press. Undefined is no move. */
function moveReading(
  key: string,
  read: number | undefined,
  { from, to }: TimeWindow,
): number | 'now' | undefined {
  if (key === 'Escape' || key === 'End') return 'now';
  if (key === 'Home') return from;
  if (key !== 'ArrowLeft' && key !== 'ArrowRight') return undefined;
  const at = (read ?? to) + ((key === 'ArrowLeft' ? -1 : 1) * (to - from)) / 40;
  return at >= to ? 'now' : Math.max(from, at);
}

/** A moment in words: the step near it, or every strategy's drift, and the chord. */
function readMoment(store: AppStore, seconds: number, span: number): string {
  const { log, state } = store;
  const step = toSteps(state.entries, store.heard, log).find(
    (one) => Math.abs(one.seconds - seconds) < NEAR * span,
  );
  if (step !== undefined) return step.sentence;
  const index = findMoment(log.seconds, seconds);
  const ago = Math.round((state.frame?.atMs ?? 0) / 1000 - seconds);
  const chord = log.chordAt(seconds * 1000);
  const values = STRATEGIES.map((line) => `${line} ${figureOf(log[line][index] ?? 0)}`);
  return `${ago === 0 ? 'now' : `${formatAgo(ago)} ago`}: ${values.join(', ')}${chord === undefined ? '' : `; ${chord.names}`}`;
}
