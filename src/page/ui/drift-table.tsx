import { useState } from 'preact/hooks';
import { STRATEGIES } from '../../core/protocol/index.js';
import { formatClock } from '../../core/words/index.js';
import { findMoment } from '../drift/scales.js';
import type { AppStore } from '../state/app-store.js';
import { figureOf } from '../words/drift-words.js';
import { Speaker } from './speaker.js';

const MOST_ROWS = 40;

/** The chart as a table: each strategy at each chord, newest first. Read once, when it is opened. */
export function DriftTable({ store }: { store: AppStore }) {
  const [rows] = useState(() => readRows(store));
  return (
    <>
      <Speaker store={store} />
      <table>
        <caption>Drift at the last chords, in cents, newest first</caption>
        <thead>
          <tr>
            {['time', 'chord', 'ratios', ...STRATEGIES].map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row[0]}>
              {row.map((cell, i) => (
                <td key={String(i)}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

type Row = readonly string[];

function readRows({ log }: AppStore): Row[] {
  const format = (cents: number | null | undefined) =>
    cents === null || cents === undefined ? '' : figureOf(cents);
  return log.chords
    .slice(-MOST_ROWS)
    .reverse()
    .map(({ atMs, names, proportion }) => {
      // A little after the strike, when its notes have settled.
      const at = findMoment(log.seconds, atMs / 1000 + 0.1);
      return [formatClock(atMs, 1), names, proportion, ...STRATEGIES.map((line) => format(log[line][at]))];
    });
}
