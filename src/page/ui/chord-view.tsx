import { useRef } from 'preact/hooks';
import { nameChord } from '../../core/theory/index.js';
import { formatSigned } from '../../core/words/index.js';
import { type Ladder, toLadder, toReasonSentence, toRouteLines } from '../chord/ladder.js';
import { type HeardNote, toHeardProportion } from '../heard/heard-chord.js';
import { type AppStore, toOrigin } from '../state/app-store.js';
import { nameTuning } from '../words/tunings.js';
import { Term } from './term.js';
import { toHall, useRem, useSize } from './use-media.js';

/** Room for the arrow, left of the ladder's rail. */
const RAIL = 30;

/** The sounding chord as a ladder, true to pitch in the heard tuning. */
export function ChordView({ store, stage }: { store: AppStore; stage: boolean }) {
  const box = useRef<HTMLDivElement>(null);
  const { width, height } = useSize(box);
  const rem = useRem();
  // In a rest the last chord stays, in grey.
  const last = useRef<readonly HeardNote[]>([]);
  const { heard } = store;
  const sounding = store.heardNotes;
  if (sounding.length > 0) last.current = sounding;
  const notes = last.current;
  const isPast = sounding.length === 0 && notes.length > 0;
  const more = store.state.frame?.more ?? 0;
  const name = nameChord(notes, toOrigin(store.state.settings?.tonic ?? 'C'))?.long ?? '';
  const stack = toHeardProportion(notes, heard) || (heard === 'equal' && notes.length > 1 ? 'not pure' : '');
  const edge = (stage ? 2.4 : 1.3) * rem;
  const gap = stage ? toHall() / 9 : 3.9 * rem;
  const ladder = toLadder(notes, heard, Math.max(60, height), edge, gap);
  const isCrowded = ladder.gap < 1.1 * rem;
  return (
    <section class={`chord${isPast ? ' past' : ''}`} aria-labelledby="chord-title" data-part="chord">
      <header>
        <h2 id="chord-title">{name || (isPast ? 'Last chord' : 'Chord')}</h2>
        <p
          class="proportion"
          ref={(element) => element?.style.setProperty('--letters', String(Math.max(4, stack.length)))}
        >
          {stage ? stack : stack !== '' && <Term name="proportion">{stack}</Term>}
        </p>
      </header>
      <p class="tuning-of">
        in {nameTuning(heard)}
        {isPast ? ', as it ended' : ''}
      </p>
      <div class="ladder" ref={box}>
        {notes.length === 0 ? (
          <p class="empty">Nothing sounds yet.</p>
        ) : (
          <Drawing ladder={ladder} width={width} height={height} stage={stage} rem={rem} />
        )}
      </div>
      <p class="reason">
        {isCrowded ? '' : toReasonSentence(notes)}
        {more > 0 && ` ${more} more notes sound.`}
      </p>
    </section>
  );
}

function Drawing({
  ladder,
  width,
  height,
  stage,
  rem,
}: {
  ladder: Ladder;
  width: number;
  height: number;
  stage: boolean;
  rem: number;
}) {
  const { rungs, steps, arrow, gap } = ladder;
  if (width === 0) return null;
  const scale = stage ? Math.max(1.5, toHall() / 480) : rem / 15;
  const nameX = RAIL + 34;
  const detailSize = 11 * scale;
  const hasDetail = gap >= 2.6 * detailSize && width > 340 && !stage;
  // The three columns share the width: in heights of a letter, by how many letters each has.
  const room = hasDetail ? 0.72 * (width - nameX) : width - nameX - 4;
  const longest = (of: (note: HeardNote) => string) =>
    Math.max(2, ...rungs.map(({ note }) => of(note).length));
  const nameLetters =
    0.62 *
      Math.min(
        7,
        longest(({ name }) => name),
      ) +
    0.6;
  const ratioLetters = 0.58 * longest(({ toBass }) => toBass) + 0.6;
  const centsLetters = 0.52 * longest(({ fromEqual }) => formatSigned(fromEqual));
  const widest = room / (nameLetters + ratioLetters + centsLetters);
  const size = Math.max(7, Math.min(21 * scale, gap * (gap < 24 ? 0.8 : 0.46), widest));
  const ratioX = nameX + Math.max(nameLetters * size, stage ? 0 : 0.32 * (width - nameX) - 0.3 * size);
  const centsX = nameX + room;
  const leastStep = stage ? 0.031 * innerHeight : 0;
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={describe(ladder)}
    >
      <line class="rail" x1={RAIL} x2={RAIL} y1={rungs[0].trueY} y2={rungs[rungs.length - 1].trueY} />
      {steps.map((step, i) => {
        const stepSize = Math.max(leastStep, Math.min(0.72 * size, 13 * scale));
        if (step.room < size + stepSize + 4) return null;
        const letters = step.ratio.length + step.words.length + 1;
        const fits = letters * 0.52 * stepSize < width - nameX;
        if (!fits && step.ratio === '') return null;
        return (
          <text
            key={rungs[i].note.id}
            class="step"
            x={nameX}
            y={step.y + stepSize * 0.35}
            font-size={stepSize}
          >
            <tspan class="step-ratio">{step.ratio}</tspan>
            {fits && <tspan dx={step.ratio === '' ? 0 : stepSize * 0.6}>{step.words}</tspan>}
          </text>
        );
      })}
      {rungs.map(({ note, trueY, y }) => (
        <g key={note.id} class={note.isFixed ? `${note.presence} fixed` : note.presence}>
          <path class="rung" d={`M${RAIL - 5} ${trueY}H${RAIL + 7}L${nameX - 12} ${y}H${nameX - 5}`} />
          <text
            class="name"
            x={nameX}
            y={y + size * 0.35}
            font-size={size * Math.min(1, 7 / note.name.length)}
          >
            {note.name}
          </text>
          <text class="ratio" x={ratioX} y={y + size * 0.35} font-size={size}>
            {note.toBass}
          </text>
          <text class="cents" x={centsX} y={y + size * 0.35} font-size={size * 0.86} text-anchor="end">
            {formatSigned(note.fromEqual)}
          </text>
          {hasDetail && (
            <Detail lines={toRouteLines(note)} x={width - 2} y={y} size={detailSize}>
              {note.toHome === '' ? note.name : `${note.toHome} to home`}
            </Detail>
          )}
        </g>
      ))}
      {arrow !== undefined && <Arrow from={rungs[arrow.from].trueY} to={rungs[arrow.to].trueY} />}
    </svg>
  );
}

/** Small lines beside a rung, around its height; the pointer over it calls `children`. */
function Detail({
  lines,
  x,
  y,
  size,
  children,
}: {
  lines: readonly string[];
  x: number;
  y: number;
  size: number;
  children: string;
}) {
  if (lines.length === 0) return null;
  const first = y + size * (0.35 - 0.6 * (lines.length - 1));
  return (
    <text class="detail" y={first} font-size={size} text-anchor="end">
      {lines.map((line, i) => (
        <tspan key={line} x={x} dy={i === 0 ? 0 : size * 1.2}>
          {line}
        </tspan>
      ))}
      <title>{children}</title>
    </text>
  );
}

/** An arrow from the deciding note to the decided one, left of the rail. */
function Arrow({ from, to }: { from: number; to: number }) {
  const out = Math.min(22, 8 + Math.abs(to - from) / 6);
  const x = RAIL - 7;
  return (
    <g class="arrow">
      <path d={`M${x} ${from}C${x - out} ${from} ${x - out} ${to} ${x} ${to}`} />
      <path d={`M${x - 6} ${to - 4}L${x} ${to}L${x - 6} ${to + 4}`} />
    </g>
  );
}

function describe({ rungs }: Ladder): string {
  const notes = rungs.map(({ note }) =>
    [
      note.name,
      note.isFixed ? 'fixed' : '',
      note.toBass === '' ? '' : `${note.toBass} to the bass, ${note.toHome} to home`,
      `${formatSigned(note.fromEqual)} cents from 12 equal`,
    ]
      .filter((words) => words !== '')
      .join(', '),
  );
  return `From the lowest: ${notes.join('; ')}`;
}
