import type { DriftFact, SettingsFact, STRATEGIES, Tuning } from '../../core/protocol/index.js';

/** The name of a tuning, as the row of tunings shows it. @example nameTuning('equal')  // '12 equal' */
export function nameTuning(tuning: Tuning): string {
  return tuning === 'equal' ? '12 equal' : tuning;
}

/** What a tuning does, in a sentence. */
export function describeTuning(tuning: Tuning, settings: SettingsFact | undefined): string {
  const { leewayCents, rateCentsPerSecond } = settings ?? {
    leewayCents: { anchored: 8, pull: 2 },
    rateCentsPerSecond: 3,
  };
  switch (tuning) {
    case 'equal':
      return 'Twelve equal semitones, as on a piano. Nothing drifts, and every chord is a little out of tune.';
    case 'free':
      return 'Chords are pure. Nothing is corrected, so the pitch may drift.';
    case 'pull':
      return `Chords are pure. The pitch is drawn back slowly, ${rateCentsPerSecond} cents a second.`;
    case 'anchored':
      return `Chords are pure. Each chord is moved as a whole, so that its average stays within ${leewayCents.anchored} cents of home.`;
    case 'temper':
      return 'Each chord gives up a little purity, so that the pitch stays near home.';
  }
}

const NO_DRIFT: DriftFact = {
  ratio: '1/1',
  comma: 'none',
  commaCents: 0,
  backCents: 0,
  leftCents: 0,
  meanCents: null,
};

/** The drift of a tuning: 12 equal has none. */
export function driftOf(
  drift: Readonly<Record<(typeof STRATEGIES)[number], DriftFact>> | undefined,
  tuning: Tuning,
): DriftFact {
  return tuning === 'equal' || drift === undefined ? NO_DRIFT : drift[tuning];
}
