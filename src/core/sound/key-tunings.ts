const KEYS = 128;

/**
 * The tunings of a receiver's keys by single-note changes, by tuning program.
 *
 * @see MIDI Tuning Updated Specification, Single Note Tuning Change (Real-Time), and with a bank in either kind
 * @example
 * const tunings = new KeyTunings();
 * tunings.take(Uint8Array.of(0xf0, 0x7f, 0x7f, 8, 2, 0, 1, 0x40, 0x3f, 0x40, 0, 0xf7));  // key 64 to 63.5
 * tunings.centsOf(0, 64)  // 6350
 */
export class KeyTunings {
  /** Cents of each key, for programs that were changed. */
  readonly #programs = new Map<number, Float64Array>();
  /** Tuning messages of other kinds, which are ignored. */
  unknown = 0;

  /** The pitch of a key under a program, in cents before any bend: 6900 is 440 Hz. */
  centsOf(program: number, key: number): number {
    return this.#programs.get(program)?.[key] ?? 100 * key;
  }

  /**
   * Takes a system message. One that was cut short has its complete part applied.
   * @returns the program it has tuned; `undefined` if it has tuned none
   */
  take(bytes: Uint8Array): number | undefined {
    const [first, kind, , what, form] = bytes;
    if (first !== 0xf0 || (kind !== 0x7f && kind !== 0x7e) || what !== 8) return undefined;
    // Single-note changes: real time without a bank, and with one in either kind.
    const start = kind === 0x7f && form === 2 ? 7 : form === 7 ? 8 : 0;
    // Requests and dumps tune nothing that sounds here, but count as unknown.
    if (start === 0) {
      this.unknown++;
      return undefined;
    }
    const program = bytes[start - 2];
    for (let at = start, left = bytes[start - 1]; left > 0 && at + 4 < bytes.length; at += 4, left--) {
      const [key, semitone, high, low] = bytes.subarray(at, at + 4);
      // 7F 7F 7F means no change.
      if (semitone === 0x7f && high === 0x7f && low === 0x7f) continue;
      this.#toKeys(program)[key & 0x7f] = 100 * semitone + (((high << 7) | low) * 100) / 16384;
    }
    return program;
  }

  /** Every key is in 12 equal again. */
  clear(): void {
    this.#programs.clear();
  }

  #toKeys(program: number): Float64Array {
    let cents = this.#programs.get(program);
    if (cents === undefined) {
      cents = Float64Array.from({ length: KEYS }, (_, key) => 100 * key);
      this.#programs.set(program, cents);
    }
    return cents;
  }
}
