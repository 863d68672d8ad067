import { useState } from 'preact/hooks';
import { type EntryFact, type Frame, STRATEGIES, type Strategy } from '../../core/protocol/index.js';
import type { AppStore } from '../state/app-store.js';
import { groupEntries, toSpeaker } from '../state/ledger-groups.js';
import { figureOf } from '../words/drift-words.js';
import type { TermName } from '../words/terms.js';
import { nameTuning } from '../words/tunings.js';
import { Term } from './term.js';
import { useMedia } from './use-media.js';

const MOST_LINES = 60;
/** What nobody hears is left out, in cents. */
const LEAST_CENTS = 1;

/** What each strategy has paid, in cents, or in cents times seconds. */
const PAYMENTS: readonly {
  readonly term: TermName;
  readonly of: (frame: Frame, which: Strategy) => number;
}[] = [
  { term: 'tied notes moved', of: (frame, which) => frame.totals[which].glidedCents },
  { term: 'came back off', of: (frame, which) => frame.totals[which].jumpedCents },
  { term: 'out of tune', of: (frame, which) => frame.totals[which].impurityCentSeconds },
];

/** What each comma cost, as sentences, and who has paid how much. */
export function LedgerView({ store }: { store: AppStore }) {
  const [showsAll, setShowsAll] = useState(false);
  const [showsFine, setShowsFine] = useState(false);
  const [asksSums, setSums] = useState(false);
  const hasRoom = useMedia('(min-height: 900px)');
  const hasSums = asksSums || hasRoom;
  const hasEntries = !asksSums || hasRoom;
  const { entries, frame, missed } = store.state;
  const { heard } = store;
  const shown = entries.filter(
    (entry) => (showsAll || entry.strategy === heard) && (showsFine || isHeard(entry)),
  );
  const passes = groupEntries(shown, MOST_LINES);
  return (
    <section class="ledger" aria-labelledby="ledger-title">
      <header>
        <h2 id="ledger-title">
          <Term name="ledger">Ledger</Term>
        </h2>
        {!hasRoom && (
          <button type="button" class="small" aria-pressed={asksSums} onClick={() => setSums(!asksSums)}>
            Sums
          </button>
        )}
        <label class="inline">
          <input
            type="checkbox"
            checked={showsAll}
            onChange={(event) => setShowsAll(event.currentTarget.checked)}
          />
          <span>all strategies</span>
        </label>
        <label class="inline">
          <input
            type="checkbox"
            checked={showsFine}
            onChange={(event) => setShowsFine(event.currentTarget.checked)}
          />
          <span>under 1 cent</span>
        </label>
      </header>
      {hasEntries && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a list that scrolls has to be reached by the keyboard
        <section class="entries" tabIndex={0} aria-label="Entries, newest first">
          {passes.length === 0 && (
            <p class="empty">
              {heard === 'equal' && !showsAll
                ? '12 equal has no ledger: it never moves.'
                : `Nothing has been paid yet under ${showsAll ? 'any strategy' : nameTuning(heard)}.`}
            </p>
          )}
          {passes.map(({ pass, lines }) => (
            <div key={`${pass} ${lines[lines.length - 1].id}`}>
              {pass > 0 && <h3>pass {pass}</h3>}
              <ul>
                {lines.map(({ id, strategies, sentence }) => (
                  <li key={id}>
                    {showsAll && (
                      <span class={`speaker ${strategies.length === 1 ? strategies[0] : ''}`}>
                        {toSpeaker(strategies)}{' '}
                      </span>
                    )}
                    {sentence}
                  </li>
                ))}
              </ul>
            </div>
          ))}
          {missed > 0 && (
            <p class="empty">{missed} entries came too fast for this page; the sums below hold them.</p>
          )}
        </section>
      )}
      {frame !== undefined && hasSums && <Payments frame={frame} />}
    </section>
  );
}

/** Whether one can hear what an entry is about. */
function isHeard(entry: EntryFact): boolean {
  return Math.abs(entry.cents) >= LEAST_CENTS;
}

function Payments({ frame }: { frame: Frame }) {
  return (
    <table class="payments">
      <caption>Paid so far, in cents</caption>
      <thead>
        <tr>
          <td />
          <th scope="col">
            <Term name="drift">drift</Term>
          </th>
          {PAYMENTS.map(({ term }) => (
            <th key={term} scope="col">
              <Term name={term}>{term}</Term>
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {STRATEGIES.map((line) => (
          <tr key={line} class={line}>
            <th scope="row">{line}</th>
            <td class="number">{figureOf(frame.drift[line].leftCents)}</td>
            {PAYMENTS.map(({ term, of }) => (
              <td key={term}>
                <Bar
                  cents={of(frame, line)}
                  most={Math.max(20, ...STRATEGIES.map((one) => of(frame, one)))}
                />
              </td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Bar({ cents, most }: { cents: number; most: number }) {
  return (
    <>
      <span class="sum">{cents.toFixed(cents < 9.95 ? 1 : 0)}</span>
      <svg class="bar" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <rect width={Math.min(100, (100 * cents) / most)} height={6} />
      </svg>
    </>
  );
}
