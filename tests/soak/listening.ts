import { SynthModel } from '../support/synth-model.js';

/** What the ring between the music and the listener carries: a message that arrived, or what befell a synth. */
export const HEARD = { message: 0, replugged: 1, refused: 2 } as const;
type HeardKind = (typeof HEARD)[keyof typeof HEARD];
const KINDS = Object.keys(HEARD).length;

/** A synth and what it heard, in one byte. @param synth its place, 0..84 */
export function toPieceKind(synth: number, heard: HeardKind): number {
  return KINDS * synth + heard;
}

/** What a synth sounds and complains of. */
export interface HeardReport {
  readonly name: string;
  readonly sounding: number;
  /** Messages it has worked off. */
  readonly messages: number;
  /** What the model found amiss, with the time it was found at. */
  readonly faults: readonly string[];
  /**
   * Note-offs for nothing after a replug or a refusal and before the next note-on: the sender lets go what it struck while
   * nobody heard it.
   */
  readonly spareNoteOffs: number;
}

/** All synths of the stage, listening: what each sounds is told by a model of the standards. */
export class Listening {
  readonly #now: () => number;
  readonly #ears: {
    readonly name: string;
    readonly model: SynthModel;
    readonly faults: string[];
    messages: number;
    spareNoteOffs: number;
    isInDoubt: boolean;
  }[];

  /** @param now seconds since the program began */
  constructor(names: readonly string[], now: () => number) {
    this.#now = now;
    this.#ears = names.map((name) => ({
      name,
      model: new SynthModel(),
      faults: [],
      messages: 0,
      spareNoteOffs: 0,
      isInDoubt: false,
    }));
  }

  /** What came out of the ring. @param kind as of `toPieceKind` */
  hear(kind: number, bytes: Uint8Array): void {
    const ear = this.#ears[Math.trunc(kind / KINDS)];
    if (kind % KINDS !== HEARD.message) {
      ear.isInDoubt = true;
      return;
    }
    const { model } = ear;
    ear.messages++;
    if ((bytes[0] & 0xf0) === 0x90) ear.isInDoubt = false;
    if (bytes[0] < 0xf0) model.channel(bytes[0], bytes[1], bytes[2] ?? 0);
    else model.system(bytes);
    model.log.length = 0;
    for (const fault of model.faults.splice(0)) {
      if (ear.isInDoubt && fault.startsWith('note-off for nothing')) ear.spareNoteOffs++;
      else ear.faults.push(`${ear.name} at ${this.#now().toFixed(1)} s: ${fault}`);
    }
  }

  report(): HeardReport[] {
    return this.#ears.map(({ name, model, messages, faults, spareNoteOffs }) => ({
      name,
      sounding: model.voices.length,
      messages,
      faults: [...faults],
      spareNoteOffs,
    }));
  }
}
