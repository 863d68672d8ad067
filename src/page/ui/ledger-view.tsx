import { type EntryFact, type Frame, STRATEGIES } from '../../core/protocol/index.js';
import { formatSigned } from '../../core/words/index.js';
import { groupEntries, toSpeaker } from '../state/ledger-groups.js';

const MOST_LINES = 60;

/** The ledger's totals: the quantity of each bar, in cents, or in cents times seconds. */
const PAYMENTS = [
  {
    what: 'standing',
    words: 'drift left standing, in cents',
    of: (frame: Frame, which: Line) => Math.abs(frame.drift[which].leftCents),
  },
  {
    what: 'glided',
    words: 'cents that tied notes glided while they sounded',
    of: (frame: Frame, which: Line) => frame.totals[which].glidedCents,
  },
  {
    what: 'jumped',
    words: 'cents that notes jumped when they came back',
    of: (frame: Frame, which: Line) => frame.totals[which].jumpedCents,
  },
  {
    what: 'impure, c·s',
    words: 'cents off the pure ratio, times seconds',
    of: (frame: Frame, which: Line) => frame.totals[which].impurityCentSeconds,
  },
] as const;
type Line = (typeof STRATEGIES)[number];

/** What each comma cost, as sentences, and the totals. */
export function LedgerView({
  entries,
  frame,
  missed,
}: {
  entries: readonly EntryFact[];
  frame: Frame | undefined;
  missed: number;
}) {
  const passes = groupEntries(entries, MOST_LINES);
  return (
    <section class="ledger" aria-labelledby="ledger-title">
      <header>
        <h2 id="ledger-title">Ledger</h2>
        <p>what each comma cost, and who paid</p>
      </header>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a list that scrolls has to be reached by the keyboard */}
      <section class="entries" tabIndex={0} aria-label="Entries, newest first">
        {passes.length === 0 && <p class="empty">Nothing has been paid yet.</p>}
        {passes.map(({ pass, lines }) => (
          <div key={`${pass} ${lines[lines.length - 1].id}`}>
            {pass > 0 && <h3>pass {pass}</h3>}
            <ul>
              {lines.map(({ id, strategies, sentence }) => (
                <li key={id}>
                  <span class={`speaker ${strategies.length === 1 ? strategies[0] : ''}`}>
                    {toSpeaker(strategies)}
                  </span>{' '}
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
      {frame !== undefined && <Payments frame={frame} />}
    </section>
  );
}

function Payments({ frame }: { frame: Frame }) {
  return (
    <table class="payments">
      <caption>Paid so far, in cents</caption>
      <thead>
        <tr>
          <td />
          {PAYMENTS.map(({ what, words }) => (
            <th key={what} scope="col" title={words}>
              {what}
            </th>
          ))}
          <th scope="col" class="balance">
            walked + given back
          </th>
        </tr>
      </thead>
      <tbody>
        {STRATEGIES.map((line) => {
          const { commaCents, backCents } = frame.drift[line];
          return (
            <tr key={line} class={line}>
              <th scope="row">{line}</th>
              {PAYMENTS.map(({ what, of }) => (
                <td key={what}>
                  <Bar
                    cents={of(frame, line)}
                    most={Math.max(20, ...STRATEGIES.map((one) => of(frame, one)))}
                  />
                </td>
              ))}
              <td class="balance">
                {formatSigned(commaCents)} {backCents < 0 ? '−' : '+'}{' '}
                {formatSigned(Math.abs(backCents)).replace('+', '')}
              </td>
            </tr>
          );
        })}
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
