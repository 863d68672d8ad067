import { retune } from '../../src/app/retune.js';
import type { MidiFile } from '../../src/core/midi/index.js';
import { DEFAULT_PLAN, type PlanOptions, type WholePlan } from '../../src/core/score/index.js';
import { formatComma } from '../../src/core/theory/index.js';
import { type Strategy, type TunerSettings, toSettings } from '../../src/core/tuner/index.js';

/** A note as it was heard: its pitch over time, and how far its ratio stands from its key. */
interface Heard {
  readonly key: number;
  readonly onMs: number;
  offMs: number;
  deviationCents: number;
  readonly pitch: { readonly atMs: number; readonly cents: number }[];
}

/** A piece that was made to end where it began, beside the same with an open end under `free`. */
export interface Homecoming {
  readonly open: WholePlan;
  readonly home: WholePlan;
  /** The exact drift at the end, in words, and how far the last chord is from home. */
  readonly openDrift: string;
  readonly drift: string;
  readonly fromHomeCents: number;
  /**
   * The widest move from one strike to the next beyond what the ratios of the open plan ask: of a note held over, or of a
   * key class that comes back.
   */
  readonly widestReturnCents: number;
  /** The same of any note, measured from any note of the strike before: under `free` it shows every lurch. */
  readonly widestStepCents: number;
}

/** The strike window: notes of one strike. */
const TOGETHER_MS = 30;
/** By then glides are over. */
const SETTLED_MS = 100;

/** Retunes a file so that it ends where it began, and measures how it got there by what is heard. */
export function measureWayHome(file: MidiFile, strategy: Strategy): Homecoming {
  const open = listen(file, { strategy: 'free' }, DEFAULT_PLAN);
  const home = listen(file, { strategy }, { ...DEFAULT_PLAN, end: 'home' });
  return {
    open: open.plan,
    home: home.plan,
    openDrift: open.drift,
    drift: home.drift,
    fromHomeCents: home.fromHomeCents,
    ...toWidest(open.notes, home.notes),
  };
}

function listen(file: MidiFile, chosen: Partial<TunerSettings>, plan: PlanOptions) {
  const notes: Heard[] = [];
  const { sequences } = retune(
    file,
    { settings: toSettings(chosen), outlet: { kind: 'mts', bendRange: undefined }, plan },
    {
      start: (atMs, note, cents) => {
        const pitch = [{ atMs, cents: cents - 100 * note.key }];
        notes[note.id] = { key: note.key, onMs: atMs, offMs: Infinity, deviationCents: 0, pitch };
      },
      retune: (atMs, note, cents) => notes[note.id].pitch.push({ atMs, cents: cents - 100 * note.key }),
      end: (atMs, note) => {
        notes[note.id].offMs = atMs;
        notes[note.id].deviationCents = note.deviationCents;
      },
    },
  );
  const [{ ending, plan: made }] = sequences;
  return {
    notes,
    plan: made!,
    drift: ending === undefined ? 'none' : formatComma(ending.drift.commas),
    fromHomeCents: ending?.fromHomeCents ?? 0,
  };
}

function toWidest(open: readonly Heard[], home: readonly Heard[]) {
  const strikesMs: number[] = [];
  for (const { onMs } of home) {
    if (strikesMs.length === 0 || onMs - strikesMs[strikesMs.length - 1] >= TOGETHER_MS) strikesMs.push(onMs);
  }
  let widestReturnCents = 0;
  let widestStepCents = 0;
  let sounding: number[] = [];
  let next = 0;
  strikesMs.forEach((atMs, at) => {
    const nextMs = strikesMs[at + 1] ?? Infinity;
    const before = sounding;
    sounding = before.filter((id) => home[id].offMs > atMs);
    const tied = sounding.length;
    for (; next < home.length && home[next].onMs < nextMs; next++) sounding.push(next);
    sounding.forEach((id, i) => {
      for (const other of i < tied ? [id] : before) {
        const now = centsAt(home[id], Math.min(atMs + SETTLED_MS, nextMs - 1));
        const moved = now - centsAt(home[other], atMs - 1);
        const asked = open[id].deviationCents - open[other].deviationCents;
        const beyond = Math.abs(moved - asked);
        widestStepCents = Math.max(widestStepCents, beyond);
        if (home[id].key % 12 === home[other].key % 12)
          widestReturnCents = Math.max(widestReturnCents, beyond);
      }
    });
  });
  return { widestReturnCents, widestStepCents };
}

/** Off the key, at some moment; before it began or after it ended, then. */
function centsAt({ pitch }: Heard, atMs: number): number {
  let at = 0;
  while (at + 1 < pitch.length && pitch[at + 1].atMs <= atMs) at++;
  return pitch[at].cents;
}
