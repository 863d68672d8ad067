import { retune } from '../../../src/app/retune.js';
import { DEFAULT_PLAN } from '../../../src/core/score/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { makeBigFile } from '../big-file.js';
import { amount, type Figure, ratio, tellFigures } from './figure.js';

/** A whole piece planned, by its length: the processor's time for each note, against that of a piece of 1 000 notes. */
const NOTES = [1000, 10_000, 100_000];
const BUDGET_SECONDS = 60;

// Once before, so that the first piece isn't the one that warms up the compiler.
timePlan(1000);
const [base, ...longer] = NOTES.map(timePlan);
const figures: Figure[] = longer.map((seconds, i) => {
  const notes = NOTES[i + 1];
  const each = seconds / notes / (base / NOTES[0]);
  return ratio(`plan/${notes}`, `a plan of ${notes} notes, each note ÷ one of 1000`, each);
});
tellFigures([
  ...figures,
  amount('plan/longest', 'a plan of 100 000 notes', 1000 * longer[1], 'ms', 1000 * BUDGET_SECONDS),
  amount('plan/peak', 'its peak memory', process.resourceUsage().maxRSS / 1024, 'MB', 1000),
]);

/** Seconds of the processor. */
function timePlan(notes: number): number {
  const file = makeBigFile(2 * notes);
  const from = process.cpuUsage();
  retune(file, { settings: toSettings({}), outlet: { kind: 'mpe', bendRange: 48 }, plan: DEFAULT_PLAN });
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1e6;
}
