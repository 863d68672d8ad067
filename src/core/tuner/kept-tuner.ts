import { fromKeptHome, type KeptHome, toKeptHome } from '../theory/index.js';
import type { CommonOffset } from './common-offset.js';
import { touchOf } from './leaving.js';
import type { Ledger } from './ledger.js';
import type { Memory } from './memory.js';
import type { Explanation, Reason, SoundingNote } from './note.js';
import { reasonOf } from './reason.js';
import type { TunerSettings } from './settings.js';
import type { Touch } from './touch.js';
import { addToSlot, createTuner, type Pedals, type Tuner } from './tuner.js';

/** Settings as plain data. */
export type KeptSettings = Omit<TunerSettings, 'home'> & { readonly home: KeptHome };

/** A note as plain data, with its reason. */
type KeptNote = Omit<SoundingNote, 'explanation'> & { readonly reason: Reason };

/**
 * A tuner between two strikes as plain data that shares nothing with it: for another thread, or to go on from later.
 */
export interface KeptTuner {
  readonly settings: KeptSettings;
  readonly notes: readonly KeptNote[];
  readonly memory: Memory;
  readonly offset: CommonOffset;
  readonly ledger: Ledger;
  readonly pedals: ReadonlyMap<number, Pedals>;
  readonly nowMs: number;
  readonly nextId: number;
  readonly fifthsMean: number;
  readonly fresh: boolean;
  readonly homing: boolean;
  readonly driftHeld: boolean;
  readonly isLagging: boolean;
  readonly touches: ReadonlyMap<number, Pick<Touch, 'legato' | 'sweeping'>>;
  readonly pulling: Tuner['pulling'];
}

/** Settings as plain data. @example fromKeptSettings(toKeptSettings(settings)).home.deviationCents(4) */
export function toKeptSettings(settings: TunerSettings): KeptSettings {
  return { ...settings, home: toKeptHome(settings.home) };
}

/** The settings that were kept. */
export function fromKeptSettings(kept: KeptSettings): TunerSettings {
  return Object.freeze({ ...kept, home: fromKeptHome(kept.home) });
}

/**
 * What a tuner is at this moment. `undefined` while a strike is open to revision: what it is measured against can't be
 * kept, and it closes within the strike window.
 */
export function toKept(tuner: Tuner): KeptTuner | undefined {
  if (tuner.strike !== undefined) return undefined;
  const { settings, memory, offset, ledger, pedals, pulling } = tuner;
  return {
    settings: toKeptSettings(settings),
    notes: tuner.notes.map(({ explanation: _, ...note }, i) => ({
      ...note,
      reason: reasonOf(tuner.notes[i]),
    })),
    memory: memory.map((one) => one && { ...one }),
    offset: { ...offset },
    ledger: copyLedger(ledger),
    pedals: new Map([...pedals].map(([part, pedal]) => [part, { ...pedal }])),
    nowMs: tuner.nowMs,
    nextId: tuner.nextId,
    fifthsMean: tuner.fifthsMean,
    fresh: tuner.fresh,
    homing: tuner.homing,
    driftHeld: tuner.driftHeld,
    isLagging: tuner.isLagging,
    touches: new Map([...tuner.touches].map(([part, { legato, sweeping }]) => [part, { legato, sweeping }])),
    pulling: pulling && { ...pulling },
  };
}

/** A tuner that goes on as the kept one would have. */
export function fromKept(kept: KeptTuner): Tuner {
  const { settings, notes, memory, offset, ledger, pedals, touches, pulling, ...rest } = kept;
  const tuner: Tuner = {
    ...createTuner(fromKeptSettings(settings)),
    ...rest,
    notes: notes.map(toNote),
    memory: memory.map((one) => one && { ...one }),
    offset: { ...offset },
    ledger: copyLedger(ledger),
    pedals: new Map([...pedals].map(([part, pedal]) => [part, { ...pedal }])),
    touches: copyTouches(touches),
    pulling: pulling && { ...pulling },
  };
  for (const note of tuner.notes) {
    tuner.sounding.add(note);
    addToSlot(tuner, note);
    if (note.keyDown) touchOf(tuner, note.part).held.add(note);
  }
  return tuner;
}

function copyTouches(touches: KeptTuner['touches']): Map<number, Touch> {
  return new Map(
    [...touches].map(([part, { legato, sweeping }]) => [part, { legato, sweeping, held: new Set() }]),
  );
}

function copyLedger({ accounts, movedCents, totals }: Ledger): Ledger {
  return { accounts: accounts.map((one) => one && { ...one }), movedCents, totals: { ...totals } };
}

function toNote({ reason, ...kept }: KeptNote): SoundingNote {
  const note: SoundingNote = { ...kept, explanation: undefined };
  note.explanation = toExplanation(note, reason);
  return note;
}

/** An explanation that has been given: nothing is left to work out. */
function toExplanation(note: SoundingNote, reason: Reason): Explanation {
  const between = (): number => {
    throw new Error('A kept reason is not worked out again.');
  };
  return {
    struck: [note],
    background: undefined,
    pairCost: { between } as never,
    reasons: new Map([[note, reason]]),
    without: undefined,
  };
}
