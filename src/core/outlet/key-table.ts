import { type MidiSink, POLY_PRESSURE } from '../midi/index.js';
import { UNSET } from './channel-state.js';
import type { OutletCounters } from './outlet.js';
import { createTunedKeys, type TunedKey, type TunedNote } from './tuned-keys.js';
import { formatTuningChange, isBeyondTuning, toTuning } from './tuning-word.js';

/** A receiver with a tuning table. */
export interface TuningTarget {
  /** SysEx device number 0..127; 0x7f addresses every device. */
  readonly device: number;
  /** The tuning program to write, 0..127; the channels select it. */
  readonly program: number;
  readonly sink: MidiSink;
}

/**
 * The keys of a receiver with one tuning table: their tunings, and the poly pressure that fingers leave on them. Sends
 * only what changes.
 *
 * @example
 * const table = new KeyTable({ device: 0x7f, program: 0, sink }, createCounters());
 * table.keys[60].tuning  // -1: unknown
 */
export class KeyTable {
  readonly keys: readonly TunedKey[] = createTunedKeys();
  readonly #target: TuningTarget;
  readonly #counters: OutletCounters;
  /** By channel and key; 0 where no finger has pressed. */
  readonly #pressures = new Uint8Array(16 * 128);

  /** @param counters `clampedBends` counts the notes for which there is no tuning word */
  constructor(target: TuningTarget, counters: OutletCounters) {
    this.#target = target;
    this.#counters = counters;
  }

  /** The receiver may be another one: nothing is known of its keys. */
  doubt(): void {
    for (const key of this.keys) key.tuning = -1;
    this.#pressures.fill(0);
  }

  /** Tunes a key to the note that started last on it, its finger's bend included. */
  tune(tunedKey: TunedKey): void {
    const note = tunedKey.notes.last;
    if (note === undefined) return;
    const cents = note.cents + note.expression.bendCents;
    const isClamped = isBeyondTuning(cents);
    if (isClamped && !note.isClamped) this.#counters.clampedBends++;
    note.isClamped = isClamped;
    const tuning = toTuning(cents);
    if (tuning === tunedKey.tuning) return;
    const { sink, device, program } = this.#target;
    sink.system(formatTuningChange(device, program, tunedKey.key, tuning));
    tunedKey.tuning = tuning;
  }

  /** Gives a key the pressure of its note's finger; none, where the note has no finger. */
  press({ channel, key, expression }: TunedNote): void {
    const pressure = expression.pressure === UNSET ? 0 : expression.pressure;
    const slot = (channel << 7) | key;
    if (this.#pressures[slot] === pressure) return;
    this.#pressures[slot] = pressure;
    this.#target.sink.channel(POLY_PRESSURE | channel, key, pressure);
  }
}
