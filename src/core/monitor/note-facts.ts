import {
  forStrategies,
  LIMITS,
  type NoteFact,
  type RecalledFact,
  STRATEGIES,
  toLength,
  toThousandth,
} from '../protocol/index.js';
import { divide, equal, formatRatio, type PrimeVector, placeInterval } from '../theory/index.js';
import { reasonOf, type SoundingNote, type Strategy, type Tuner, toSoundingCents } from '../tuner/index.js';
import { formatRatioOrCommas, namePoint, toHomeRatio } from '../words/index.js';
import type { NoteChannel } from './note-routing.js';

/** The tuners of all strategies, which take the same events. */
export type Tuners = Readonly<Record<Strategy, Tuner>>;

type NotesById = ReadonlyMap<number, SoundingNote>;

const FAINT = 0.02;

/**
 * Every sounding note, from the lowest up, under `strategy`, with its pitch under all strategies.
 *
 * The tuners must have taken the same events since they were made: their notes are matched by id. Where one of them
 * lacks such a note (it was made later), its pitch is that of `strategy`. Pitches are in cents to a thousandth,
 * channels 0..15, bends 0..16383.
 *
 * @returns the lowest `LIMITS.notes`, and how many more there are
 */
export function toNoteFacts(
  strategy: Strategy,
  tuners: Tuners,
  sentAs: (note: Readonly<SoundingNote>) => NoteChannel,
): { notes: NoteFact[]; more: number } {
  const tuner = tuners[strategy];
  const sorted = [...tuner.notes].sort((a, b) => a.key - b.key || a.id - b.id);
  const twins = forStrategies((which) => toNotesById(tuners[which]));
  const notes = sorted
    .slice(0, LIMITS.notes)
    .map((note) => toNoteFact(note, sorted[0].point, strategy, tuners, twins, sentAs(note)));
  return { notes, more: Math.max(0, sorted.length - LIMITS.notes) };
}

function toNotesById({ notes }: Tuner): NotesById {
  return new Map(notes.map((note) => [note.id, note]));
}

function toNoteFact(
  note: SoundingNote,
  bass: PrimeVector,
  strategy: Strategy,
  tuners: Tuners,
  twins: Readonly<Record<Strategy, NotesById>>,
  { channel, bend }: NoteChannel,
): NoteFact {
  const tuner = tuners[strategy];
  const own = toSoundingCents(tuner, note);
  const equalCents = 100 * note.key + tuner.settings.referenceCents;
  const centsUnder = (which: Strategy) => {
    const twin = which === strategy ? note : twins[which].get(note.id);
    return toThousandth(twin === undefined ? own : toSoundingCents(tuners[which], twin));
  };
  return {
    id: note.id,
    key: note.key,
    velocity: note.velocity,
    part: note.part,
    presence: note.settled ? (note.keyDown ? 'held' : 'pedalled') : 'struck',
    isFixed: note.fixedCents !== undefined,
    name: toText(namePoint(tuner, note.point, note.key)),
    point: [...note.point],
    toBass: toText(formatRatioOrCommas(divide(note.point, bass))),
    toHome: toText(formatRatioOrCommas(toHomeRatio(tuner, note.point, note.key))),
    fromEqual: toThousandth(own - equalCents),
    cents: { ...forStrategies(centsUnder), equal: toThousandth(equalCents) },
    channel,
    bend,
    by: toDecider(tuner, note),
    elsewhere: toElsewhere(note, strategy, twins),
  };
}

/** The points of a note under the strategies where it has another one; `undefined` where it has none. */
function toElsewhere(
  note: SoundingNote,
  strategy: Strategy,
  twins: Readonly<Record<Strategy, NotesById>>,
): NoteFact['elsewhere'] {
  let points: NoteFact['elsewhere'];
  for (const which of STRATEGIES) {
    const point = which === strategy ? undefined : twins[which].get(note.id)?.point;
    if (point !== undefined && !equal(point, note.point)) points = { ...points, [which]: [...point] };
  }
  return points;
}

function toDecider(tuner: Tuner, note: SoundingNote): NoteFact['by'] {
  const { presence, deciderKey, deciderPoint, interval } = reasonOf(note);
  if (presence === 'first') return { presence, id: null, name: '', ratio: '', place: '' };
  // A memory on the point of this very note has no id.
  const decider =
    presence === 'recalled'
      ? undefined
      : tuner.notes.find((one) => one !== note && one.key === deciderKey && equal(one.point, deciderPoint));
  return {
    presence,
    id: decider?.id ?? null,
    name: toText(namePoint(tuner, deciderPoint, deciderKey)),
    ratio: toText(formatRatio(interval)),
    place: toText(placeInterval(interval)),
  };
}

/**
 * Silent remembered key classes, from C up; `weight` fades as in the tuner. Memories too faint to show are left out.
 *
 * @param atMs now, in milliseconds on the tuner's clock
 */
export function toRecalledFacts(tuner: Tuner, atMs: number): RecalledFact[] {
  const { recall, recallSeconds } = tuner.settings.weights;
  const facts: RecalledFact[] = [];
  tuner.memory.forEach((memory, keyClass) => {
    if (memory === undefined || tuner.notes.some((note) => note.keyClass === keyClass)) return;
    const age = Math.max(0, atMs - memory.endedMs) / 1000;
    const weight = recall * Math.exp(-age / recallSeconds);
    if (weight < FAINT) return;
    const name = toText(namePoint(tuner, memory.point, memory.key));
    facts.push({ point: [...memory.point], name, weight: toThousandth(weight) });
  });
  return facts;
}

/** Words cut to the bound of a text. */
export function toText(words: string): string {
  return toLength(words, LIMITS.text);
}
