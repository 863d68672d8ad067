import { type MidiFile, toTempoMap, tracksOf } from '../../../src/core/midi/index.js';
import { type Moment, recountMoments, toPartsByTrack } from '../../../src/core/score/index.js';
import { divide, type PrimeVector, sameClass } from '../../../src/core/theory/index.js';
import { toReturned, toSettings } from '../../../src/core/tuner/index.js';

/** What prime 7 does to a corpus with the 7-limit on, drifting freely. Counts of moments (strikes) or pieces. */
export interface SevensTally {
  /** Dominant sevenths struck whole (root, third, seventh, with or without fifth), and those that stand as 4:5:(6:)7. */
  dominants: number;
  pureDominants: number;
  /** The same of dominant ninths, and 4:5:(6:)7:9. */
  ninths: number;
  pureNinths: number;
  /** Moments of two key classes a whole tone apart, and those that became 8/7. */
  wholeTones: number;
  septimalTones: number;
  /** Major and minor triads, and those in which two notes differ by a 7. */
  triads: number;
  triadsWithSeven: number;
  /** Pieces, and those that end with some key class a power of 7 away from where it first stood. */
  pieces: number;
  draggedPieces: number;
}

/** An empty tally. */
export function createSevensTally(): SevensTally {
  return {
    dominants: 0,
    pureDominants: 0,
    ninths: 0,
    pureNinths: 0,
    wholeTones: 0,
    septimalTones: 0,
    triads: 0,
    triadsWithSeven: 0,
    pieces: 0,
    draggedPieces: 0,
  };
}

/** Plays a file in the 7-limit and counts. */
export function addSevens(tally: SevensTally, file: MidiFile): void {
  const tracks = tracksOf(file);
  const settings = toSettings({ strategy: 'free', limit: 7 });
  const { moments, tuner } = recountMoments(
    tracks,
    toPartsByTrack(tracks),
    toTempoMap(file).toMs,
    settings,
    'live',
  );
  for (const moment of moments) countMoment(tally, moment);
  tally.pieces += 1;
  const last = moments[moments.length - 1];
  if (last?.notes.some((note) => toReturned(tuner.ledger, note.key % 12)[3] !== 0)) tally.draggedPieces += 1;
}

/** What a degree of 4:5:6:7:9 is to the root, octaves left out. */
const HARMONIC = new Map<number, PrimeVector>([
  [0, [0, 0, 0, 0, 0, 0]],
  [2, [0, 2, 0, 0, 0, 0]],
  [4, [0, 0, 1, 0, 0, 0]],
  [7, [0, 1, 0, 0, 0, 0]],
  [10, [0, 0, 0, 1, 0, 0]],
]);

function isHarmonic(notes: Moment['notes'], root: number): boolean {
  const base = notes.find((note) => note.key % 12 === root);
  return notes.every(({ key, point }) => {
    const wanted = HARMONIC.get((key + 12 - root) % 12);
    return base !== undefined && wanted !== undefined && sameClass(divide(point, base.point), wanted);
  });
}

function countMoment(tally: SevensTally, { notes }: Moment): void {
  const classes = [...new Set(notes.map((note) => note.key % 12))];
  const set = (root: number, degrees: readonly number[]): boolean =>
    classes.length === degrees.length && degrees.every((degree) => classes.includes((root + degree) % 12));
  const at = (keyClass: number) => notes.find((note) => note.key % 12 === keyClass % 12);
  for (const root of classes) {
    if (set(root, [0, 4, 7, 10]) || set(root, [0, 4, 10])) {
      tally.dominants += 1;
      if (isHarmonic(notes, root)) tally.pureDominants += 1;
    } else if (set(root, [0, 2, 4, 7, 10]) || set(root, [0, 2, 4, 10])) {
      tally.ninths += 1;
      if (isHarmonic(notes, root)) tally.pureNinths += 1;
    } else if (set(root, [0, 4, 7]) || set(root, [0, 3, 7])) {
      tally.triads += 1;
      if (notes.some((note) => note.point[3] !== notes[0].point[3])) tally.triadsWithSeven += 1;
    } else if (set(root, [0, 2])) {
      tally.wholeTones += 1;
      const [low, high] = [at(root), at(root + 2)];
      if (low && high && high.point[3] !== low.point[3]) tally.septimalTones += 1;
    }
  }
}
