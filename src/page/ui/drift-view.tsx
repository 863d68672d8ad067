import { useEffect, useRef, useState } from 'preact/hooks';
import { spread } from '../../core/drawing/index.js';
import { STRATEGIES } from '../../core/protocol/index.js';
import { formatCents, formatSigned } from '../../core/words/index.js';
import { DriftCanvas, type LineEnd } from '../drift/drift-canvas.js';
import { readPalette } from '../drift/drift-svg.js';
import { findMoment, formatAgo, SPANS_SECONDS } from '../drift/scales.js';
import type { AppStore } from '../state/app-store.js';
import type { SessionHistory } from '../state/session-history.js';
import { useMedia, useRem, useSize } from './use-media.js';
import { useStore } from './use-store.js';

/** The drift curves: one line a strategy, home, the leeway, and a reading of any moment. */
export function DriftView({
  span,
  setSpan,
  stage,
}: {
  span: number;
  setSpan: (span: number) => void;
  stage: boolean;
}) {
  const store = useStore();
  const box = useRef<HTMLDivElement>(null);
  const plot = useRef<DriftCanvas>(undefined);
  const [ends, setEnds] = useState<readonly LineEnd[]>([]);
  const [read, setRead] = useState<number | null>(null);
  const size = useSize(box);
  const isDark = useMedia('(prefers-color-scheme: dark)');
  const isCalm = useMedia('(prefers-reduced-motion: reduce)');
  const isNarrow = size.width > 0 && size.width < 560;
  // In stage view everything grows with the height of the screen.
  const hall = Math.round(innerHeight / 45);
  const rem = useRem();
  const fontSize = stage ? hall : 0.8 * rem;
  const right = isNarrow ? 112 : stage ? 20 * hall : 13.6 * rem;

  useEffect(() => {
    if (box.current === null) return;
    const edges = { left: stage ? 3.2 * hall : 3.3 * rem, right };
    const made = new DriftCanvas(box.current, readPalette(), edges, fontSize, (index) =>
      setRead(index === null ? null : index),
    );
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
      const { frame, settings, passes } = store.state;
      const nowSeconds = (frame?.atMs ?? 0) / 1000;
      const leewayCents =
        settings === undefined ? 0 : settings.leewayCents[settings.strategy === 'pull' ? 'pull' : 'anchored'];
      plot.current.draw(store.log, { nowSeconds, spanSeconds: span, leewayCents, passes });
      setEnds(plot.current.ends(store.log));
    };
    draw();
    return store.watch(draw);
  }, [store, span, isCalm, isDark, right, size.width, size.height, fontSize]);

  const gap = stage ? 2 * hall : isNarrow ? 17 : 1.4 * rem;
  const labels = spread(
    ends.map((end) => end.y),
    gap,
    gap / 2,
    Math.max(gap, size.height - (stage ? 3 * hall : 34)),
  );
  const start = findMoment(store.log.seconds, (store.state.frame?.atMs ?? 0) / 1000 - span);
  const reading = read === null ? undefined : readMoment(store, start + read);
  return (
    <section class="curve" aria-labelledby="curve-title">
      <header>
        <h2 id="curve-title">Drift curve</h2>
        <p class="reading">{reading ?? 'cents from home; one line a strategy, the same notes'}</p>
        {!stage && (
          <label class="inline">
            <span>show</span>
            <select value={span} onChange={(event) => setSpan(Number(event.currentTarget.value))}>
              {SPANS_SECONDS.map((seconds) => (
                <option key={seconds} value={seconds}>
                  {formatAgo(seconds)}
                </option>
              ))}
            </select>
          </label>
        )}
      </header>
      <div
        class="sheet"
        role="slider"
        tabIndex={stage ? -1 : 0}
        aria-label="Moment read from the chart: arrow keys move it"
        aria-valuemin={0}
        aria-valuemax={span}
        aria-valuenow={
          reading === undefined
            ? span
            : Math.round((store.log.seconds[start + (read ?? 0)] ?? 0) - (store.log.seconds[start] ?? 0))
        }
        aria-valuetext={reading ?? 'now'}
        onKeyDown={(event) => {
          const index = moveReading(event.key, read, store.log, start, span);
          if (index === undefined) return;
          event.preventDefault();
          plot.current?.point(index === null ? null : store.log.seconds[start + index]);
          setRead(index);
        }}
        onBlur={() => setRead(null)}
      >
        <div class="plot" ref={box} />
        {ends.map(({ line, cents }, i) => (
          <span key={line} class={`line-end ${line}`} ref={(element) => place(element, labels[i], right)}>
            <b>{line}</b> {formatSigned(cents)}
          </span>
        ))}
      </div>
    </section>
  );
}

function place(element: HTMLElement | null, y: number | undefined, right: number): void {
  if (element === null || y === undefined) return;
  element.style.top = `${y}px`;
  element.style.left = `calc(100% - ${right - 8}px)`;
}

/** The moment an arrow key leads to: a fortieth of the span a press. Null is now, undefined no move. */
function moveReading(
  key: string,
  read: number | null,
  log: SessionHistory,
  start: number,
  span: number,
): number | null | undefined {
  const last = log.seconds.length - 1 - start;
  if (key === 'Escape' || key === 'End') return null;
  if (key === 'Home') return 0;
  if (key !== 'ArrowLeft' && key !== 'ArrowRight') return undefined;
  const from = log.seconds[start + Math.min(read ?? last, last)] ?? 0;
  const wanted = from + ((key === 'ArrowLeft' ? -1 : 1) * span) / 40;
  const index = findMoment(log.seconds, wanted) - start;
  return index >= last ? null : Math.max(0, index);
}

function readMoment({ log, state }: AppStore, index: number): string | undefined {
  const seconds = log.seconds[index];
  if (seconds === undefined) return undefined;
  const ago = ((state.frame?.atMs ?? 0) / 1000 - seconds).toFixed(1);
  const chord = log.chordAt(seconds * 1000);
  const values = STRATEGIES.map((line) => {
    const cents = log[line][index];
    return `${line} ${cents === null ? 'silent' : formatCents(cents)}`;
  });
  return `${ago} s ago: ${values.join(', ')}${chord === undefined ? '' : `; ${chord.names}`}`;
}
