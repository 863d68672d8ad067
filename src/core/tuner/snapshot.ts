import type { CommonOffset } from './common-offset.js';
import { touchOf } from './leaving.js';
import type { Ledger } from './ledger.js';
import type { Memory } from './memory.js';
import type { Reason, SoundingNote } from './note.js';
import { reasonOf } from './reason.js';
import type { TunerSettings } from './settings.js';
import { addToSlot, createTuner, type Pedals, type Touch, type Tuner } from './tuner.js';

type NoteSnapshot = Omit<SoundingNote, 'reasonSource'> & { readonly reason: Reason };

/** A tuner between two strikes as plain data that shares nothing with it: for another thread, or to continue later. */
export interface TunerSnapshot {
  readonly settings: TunerSettings;
  readonly notes: readonly NoteSnapshot[];
  readonly memory: Memory;
  readonly offset: CommonOffset;
  readonly ledger: Ledger;
  readonly pedals: ReadonlyMap<number, Pedals>;
  readonly nowMs: number;
  readonly nextId: number;
  readonly firstId: number;
  readonly fifthsMean: number;
  readonly fresh: boolean;
  readonly homing: boolean;
  readonly driftHeld: boolean;
  readonly isLagging: boolean;
  readonly touches: ReadonlyMap<number, Pick<Touch, 'legato' | 'sweeping'>>;
  readonly pulling: Tuner['pulling'];
}

/**
 * The tuner at this moment. `undefined` while a strike is open: its surroundings can't be copied, and it closes within
 * the strike window.
 */
export function toSnapshot(tuner: Tuner): TunerSnapshot | undefined {
  if (tuner.strike !== undefined) return undefined;
  const { settings, nowMs, nextId, firstId, fifthsMean, fresh, homing, driftHeld, isLagging, pulling } =
    tuner;
  const scalars = { nowMs, nextId, firstId, fifthsMean, fresh, homing, driftHeld, isLagging };
  return {
    settings,
    ...scalars,
    ...copyMutable(tuner),
    notes: tuner.notes.map(({ reasonSource: _, ...note }, i) => ({
      ...note,
      reason: reasonOf(tuner.notes[i]),
    })),
    touches: new Map([...tuner.touches].map(([part, { legato, sweeping }]) => [part, { legato, sweeping }])),
    pulling: pulling && { ...pulling },
  };
}

/**
 * A tuner that continues from a snapshot and decides as the original would have. The snapshot stays unchanged. Not
 * checked: it must come from `toSnapshot`.
 */
export function fromSnapshot(snapshot: TunerSnapshot): Tuner {
  const { settings, notes, memory, offset, ledger, pedals, touches, pulling, ...scalars } = snapshot;
  const tuner: Tuner = {
    ...createTuner(settings),
    ...scalars,
    ...copyMutable(snapshot),
    notes: notes.map(({ reason, ...note }) => ({ ...note, reasonSource: { reason } })),
    touches: new Map(
      [...touches].map(([part, { legato, sweeping }]) => [part, { legato, sweeping, held: new Set() }]),
    ),
    pulling: pulling && { ...pulling },
  };
  for (const note of tuner.notes) {
    tuner.sounding.add(note);
    addToSlot(tuner, note);
    if (note.fixedCents !== undefined) tuner.fixed.add(note);
    if (note.keyDown) touchOf(tuner, note.part).held.add(note);
  }
  return tuner;
}

function copyMutable({
  memory,
  offset,
  ledger,
  pedals,
}: Pick<TunerSnapshot, 'memory' | 'offset' | 'ledger' | 'pedals'>) {
  return {
    memory: memory.map((one) => one && { ...one }),
    offset: { ...offset },
    ledger: copyLedger(ledger),
    pedals: new Map([...pedals].map(([part, pedal]) => [part, { ...pedal }])),
  };
}

function copyLedger({ accounts, drift, movedCents, totals }: Ledger): Ledger {
  return {
    accounts: accounts.map((one) => one && { ...one }),
    drift: { ...drift, references: drift.references.slice() },
    movedCents,
    totals: { ...totals },
  };
}
