import type { PrimeVector } from '../../theory/index.js';
import { type ChoiceWeights, toPedalWeight, toRecallWeight } from '../../tuner/index.js';
import type { LastSlot, PlanPath, PlanProblem, PlanSlot, PlanStrike } from './problem.js';
import type { Rehearsal, RehearsedNote } from './rehearse.js';

/** Shorter is no shorter to the ear. */
const SHORTEST_SECONDS = 0.03;

/** The slots of a piece, and which notes and strikes they belong to. */
interface Slots {
  readonly slots: readonly PlanSlot[];
  /** By the number of the note. */
  readonly slotOf: readonly number[];
  /** The first slot of each strike, and one more entry. */
  readonly bounds: readonly number[];
  /** When the last note of each slot ends. */
  readonly endsMs: Float64Array;
}

/** Puts a piece that was played through as a question: what is heard at each strike, and how much it counts. */
export function toProblem(rehearsal: Rehearsal, weights: ChoiceWeights): PlanProblem {
  const slots = toSlots(rehearsal);
  const { slotOf } = slots;
  const { notes, strikesMs } = rehearsal;
  const firstSlots = new Array<number>(12).fill(-1);
  slots.slots.forEach(({ keyClass }, slot) => {
    if (firstSlots[keyClass] < 0) firstSlots[keyClass] = slot;
  });
  return {
    strikes: toStrikes(rehearsal, slots, weights),
    slots: slots.slots,
    notes: notes.map(({ note, endedMs, until }) => ({
      slot: slotOf[note.id],
      key: note.key,
      struckMs: note.struckMs,
      endedMs,
      until: Math.min(until, strikesMs.length),
    })),
    firstSlots,
    ending: toEnding(rehearsal, slotOf),
  };
}

/** What the live rule made of a piece. */
export function toLivePath({ notes }: Rehearsal, problem: PlanProblem): PlanPath {
  const path = new Array<PrimeVector>(problem.slots.length);
  for (const { note } of notes) path[problem.notes[note.id].slot] = note.frame;
  return path;
}

/** One slot for each key class of each strike. */
function toSlots({ notes, strikesMs }: Rehearsal): Slots {
  const byStrike: RehearsedNote[][] = strikesMs.map(() => []);
  for (const heard of notes) byStrike[heard.strike].push(heard);
  const slots: PlanSlot[] = [];
  const slotOf: number[] = [];
  const bounds = [0];
  byStrike.forEach((members, strike) => {
    for (let keyClass = 0; keyClass < 12; keyClass++) {
      const its = members.filter(({ note }) => note.keyClass === keyClass);
      if (its.length === 0) continue;
      for (const { note } of its) slotOf[note.id] = slots.length;
      slots.push({ keyClass, strike, count: its.length });
    }
    bounds.push(slots.length);
  });
  const endsMs = new Float64Array(slots.length);
  for (const { note, endedMs } of notes) endsMs[slotOf[note.id]] = Math.max(endsMs[slotOf[note.id]], endedMs);
  return { slots, slotOf, bounds, endsMs };
}

/** Something heard at a strike: its slot, how much it counts, and until when. */
interface Heard {
  readonly slot: number;
  readonly keyClass: number;
  readonly weight: number;
  readonly endMs: number;
}

/** Goes through the strikes once, with what sounds and what is remembered at each. */
function toStrikes(rehearsal: Rehearsal, slots: Slots, weights: ChoiceWeights): PlanStrike[] {
  const { notes, byEnd, strikesMs } = rehearsal;
  const toLength = createLength(notes);
  const memory = new Array<RehearsedNote | undefined>(12).fill(undefined);
  let sounding: RehearsedNote[] = [];
  let ended = 0;
  let started = 0;
  return strikesMs.map((atMs, strike) => {
    for (; started < notes.length && notes[started].strike < strike; started++) sounding.push(notes[started]);
    sounding = sounding.filter(({ until }) => until > strike);
    for (; ended < byEnd.length && byEnd[ended].until <= strike; ended++)
      memory[byEnd[ended].note.keyClass] = byEnd[ended];

    const heard = new Map<number, Heard>();
    const last = new Array<LastSlot | undefined>(12).fill(undefined);
    const hear = (
      { note: { id, keyClass } }: RehearsedNote,
      weight: number,
      ageSeconds: number,
      endMs: number,
    ) => {
      const slot = slots.slotOf[id];
      heard.set(slot, { slot, keyClass, weight: weight + (heard.get(slot)?.weight ?? 0), endMs });
      last[keyClass] = { slot, ageSeconds };
    };
    for (const one of sounding) {
      const ageSeconds = Math.max(0, atMs - one.note.releasedMs) / 1000;
      if (one.note.releasedMs > atMs) hear(one, weights.held, 0, one.endedMs);
      else hear(one, toPedalWeight(weights, ageSeconds), ageSeconds, one.endedMs);
    }
    for (const one of memory) {
      if (one === undefined || last[one.note.keyClass] !== undefined) continue;
      const ageSeconds = Math.max(0, atMs - one.endedMs) / 1000;
      hear(one, toRecallWeight(weights, ageSeconds), ageSeconds, Infinity);
    }
    const [first, end] = [slots.bounds[strike], slots.bounds[strike + 1]];
    const own = slots.slots.slice(first, end);
    const context = [...heard.values()];
    const toTime = (i: number, endMs: number) =>
      toLength((Math.min(slots.endsMs[first + i], endMs) - atMs) / 1000);
    return {
      atMs,
      first,
      end,
      context: context.map(({ slot, keyClass }) => ({ slot, keyClass })),
      last: own.map(({ keyClass }) => last[keyClass]),
      heardWeights: Float64Array.from(
        own.flatMap((_, i) => context.map(({ weight, endMs }) => weight * toTime(i, endMs))),
      ),
      pairWeights: Float64Array.from(
        own.flatMap((a, i) => own.map((b, j) => a.count * b.count * toTime(i, slots.endsMs[first + j]))),
      ),
    };
  });
}

/**
 * How much an interval counts by how long it is heard: 1 where that is the mean length of a note, twice where it is four
 * times that. The live rule can't know.
 */
function createLength(notes: readonly RehearsedNote[]): (seconds: number) => number {
  let sum = 0;
  for (const { note, endedMs } of notes) sum += Math.max(SHORTEST_SECONDS, (endedMs - note.struckMs) / 1000);
  const mean = sum / Math.max(1, notes.length);
  return (seconds) => Math.sqrt(Math.max(SHORTEST_SECONDS, seconds) / mean);
}

/** What can be heard at the last strike, from the lowest key up. */
function toEnding({ notes, strikesMs }: Rehearsal, slotOf: readonly number[]): number[] {
  const last = strikesMs.length - 1;
  const chord = notes.filter(({ strike, until }) => strike === last || until > last);
  return chord.sort((a, b) => a.note.key - b.note.key).map(({ note }) => slotOf[note.id]);
}
