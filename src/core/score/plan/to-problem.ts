import { type PrimeVector, toFifths } from '../../theory/index.js';
import { HELD, LATE_SHARE, LEAVING_MS, LOOSE } from '../../tuner/index.js';
import type { HeardSlot, LastSlot, PlanPath, PlanProblem, PlanSlot, PlanStrike } from './problem.js';
import type { Rehearsal, RehearsedNote } from './rehearse.js';

/** Weight of a note that ends late: it only decides between otherwise equal places. */
export const LEAVING_WEIGHT = 1e-9;

/** The slots of a piece, and the notes and strikes they belong to. */
interface Slots {
  readonly slots: readonly PlanSlot[];
  /** By id of the note. */
  readonly slotOf: readonly number[];
  /** The first slot of each strike, and one more entry. */
  readonly bounds: readonly number[];
}

/** Turns a rehearsed piece into a question: what is heard at each strike, and how much it counts. */
export function toProblem(rehearsal: Rehearsal): PlanProblem {
  const slots = toSlots(rehearsal);
  const { slotOf } = slots;
  const { notes } = rehearsal;
  const shortestMs = toShortest(rehearsal);
  const firstSlots = new Array<number>(12).fill(-1);
  slots.slots.forEach(({ keyClass }, slot) => {
    if (firstSlots[keyClass] < 0) firstSlots[keyClass] = slot;
  });
  return {
    strikes: toStrikes(rehearsal, slots, shortestMs),
    slots: slots.slots,
    notes: notes.map((one) => ({
      slot: slotOf[one.note.id],
      key: one.note.key,
      struckMs: one.note.struckMs,
      endedMs: one.endedMs,
      until: toHeldUntil(one, rehearsal, shortestMs),
      fixedCents: one.note.fixedCents,
    })),
    firstSlots,
    ending: toEnding(rehearsal, slotOf),
  };
}

/** The live rule's own path through a piece. */
export function toLivePath({ notes }: Rehearsal, problem: PlanProblem): PlanPath {
  const path = new Array<PrimeVector>(problem.slots.length);
  for (const { note } of notes) path[problem.notes[note.id].slot] = note.frame;
  return path;
}

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
      const count = its.filter(({ note }) => note.fixedCents === undefined).length;
      slots.push({ keyClass, strike, fifths: toFifths(its[0].note.frame), count });
    }
    bounds.push(slots.length);
  });
  return { slots, slotOf, bounds };
}

/** Visits the strikes once, with what sounds and what is remembered at each. */
function toStrikes(rehearsal: Rehearsal, slots: Slots, shortestMs: Readonly<Float64Array>): PlanStrike[] {
  const { notes, byEnd, strikesMs } = rehearsal;
  const memory = new Array<RehearsedNote | undefined>(12).fill(undefined);
  let sounding: RehearsedNote[] = [];
  let ended = 0;
  let started = 0;
  return strikesMs.map((atMs, strike) => {
    for (; started < notes.length && notes[started].strike < strike; started++) sounding.push(notes[started]);
    sounding = sounding.filter(({ until }) => until > strike);
    for (; ended < byEnd.length && byEnd[ended].until <= strike; ended++)
      memory[byEnd[ended].note.keyClass] = byEnd[ended];

    const heard = new Map<number, HeardSlot>();
    const last = new Array<LastSlot | undefined>(12).fill(undefined);
    const hear = ({ note: { id, keyClass } }: RehearsedNote, binding: number, ageSeconds: number) => {
      const slot = slots.slotOf[id];
      const known = heard.get(slot);
      if (known === undefined || known.binding < binding)
        heard.set(slot, { slot, keyClass, ageSeconds, binding });
      last[keyClass] = { slot, ageSeconds };
    };
    for (const one of sounding) {
      const { releasedMs } = one.note;
      if (releasedMs <= atMs) hear(one, LOOSE, (atMs - releasedMs) / 1000);
      else hear(one, isLate(one, releasedMs, atMs, shortestMs[strike]) ? LEAVING_WEIGHT : HELD, 0);
    }
    for (const one of memory) {
      if (one === undefined || last[one.note.keyClass] !== undefined) continue;
      hear(one, 0, Math.max(0, atMs - one.endedMs) / 1000);
    }
    const [first, end] = [slots.bounds[strike], slots.bounds[strike + 1]];
    const context = [...heard.values()].sort((a, b) => b.binding - a.binding || b.slot - a.slot);
    return {
      atMs,
      first,
      end,
      context,
      last: slots.slots.slice(first, end).map(({ keyClass }) => last[keyClass]),
    };
  });
}

/** What can be heard at the last strike, from the lowest key up. */
function toEnding({ notes, strikesMs }: Rehearsal, slotOf: readonly number[]): number[] {
  const last = strikesMs.length - 1;
  const chord = notes.filter(({ strike, until }) => strike === last || until > last);
  return chord.sort((a, b) => a.note.key - b.note.key).map(({ note }) => slotOf[note.id]);
}

/** How long the shortest note of each strike is held, in milliseconds. */
export function toShortest({ notes, strikesMs }: Rehearsal): Float64Array {
  const shortestMs = new Float64Array(strikesMs.length).fill(Infinity);
  for (const { note, strike } of notes)
    shortestMs[strike] = Math.min(shortestMs[strike], note.releasedMs - note.struckMs);
  return shortestMs;
}

/**
 * Whether a note that sounds into a strike only ends late: soon after it, and after much less time than it sounded
 * before, and than the new notes sound. A short note of a separate line isn't late.
 *
 * @param endMs      when it ends: its key, or what can be heard of it
 * @param atMs       when the strike begins
 * @param shortestMs how long the shortest of the new notes is held
 * @example isLate({ note: { struckMs: 0 } }, 1060, 1000, 500)  // true
 */
export function isLate({ note }: RehearsedNote, endMs: number, atMs: number, shortestMs: number): boolean {
  const lateMs = endMs - atMs;
  return lateMs <= LEAVING_MS && lateMs <= LATE_SHARE * Math.min(atMs - note.struckMs, shortestMs);
}

/** The first strike into which a note isn't held: it has ended by then, or only ends late. */
export function toHeldUntil(
  one: RehearsedNote,
  { strikesMs }: Pick<Rehearsal, 'strikesMs'>,
  shortestMs: Readonly<Float64Array>,
): number {
  const until = Math.min(one.until, strikesMs.length);
  let strike = one.strike + 1;
  while (strike < until && !isLate(one, one.endedMs, strikesMs[strike], shortestMs[strike])) strike += 1;
  return strike;
}
