import { sendError } from '../../src/io/ports/port-problems.js';
import type { FakeSynth } from '../support/fake-devices.js';
import type { FakeMachine } from '../support/fake-ports.js';
import { SynthModel } from '../support/synth-model.js';

/**
 * A synth that can be unplugged and that listens: what it sounds is told by a model of the standards. It works off what
 * it was sent in a turn of its own, so that the sender's time is the sender's alone.
 */
export class HeardSynth {
  readonly name: string;
  /** Messages that arrived, that were sent while nobody was there, and that were refused on purpose. */
  readonly counts = { arrived: 0, lost: 0, refused: 0 };
  /** When the last message arrived, in milliseconds. */
  lastMs = 0;
  /** What the model found amiss, with the time in seconds since the program began. */
  readonly faults: string[] = [];
  /**
   * Note-offs for nothing after a replug or a refusal and before the next note-on: the sender lets go what it struck while
   * nobody heard it.
   */
  spareNoteOffs = 0;
  readonly #model = new SynthModel();
  #synth: FakeSynth;
  #isRefusing = false;
  #waiting: Uint8Array[] = [];
  #isInDoubt = false;
  readonly #machine: FakeMachine;

  constructor(machine: FakeMachine, name: string) {
    this.#machine = machine;
    this.name = name;
    this.#synth = this.#plug();
  }

  /** How many notes it sounds. */
  get sounding(): number {
    this.#workOff();
    return this.#model.voices.length;
  }

  unplug(): void {
    this.#synth.unplug();
  }

  /** Its cable is back. It was on all the while, and sounds on what it wasn't told to end. */
  replug(): void {
    this.#workOff();
    this.#isInDoubt = true;
    this.#synth = this.#plug();
  }

  /** The next message is refused. What the model finds amiss in the wake of it is none of the sender's. */
  refuseNext(): void {
    this.#isRefusing = true;
  }

  #plug(): FakeSynth {
    const synth = this.#machine.plugSynth(this.name);
    synth.receive = (bytes) => {
      if (this.#isRefusing) {
        this.#isRefusing = false;
        this.#workOff();
        this.#isInDoubt = true;
        this.counts.refused++;
        throw sendError(this.name, new Error('refused on purpose'));
      }
      if (!synth.isPlugged) {
        this.counts.lost++;
        return;
      }
      this.counts.arrived++;
      this.lastMs = performance.now();
      if (this.#waiting.push(Uint8Array.from(bytes)) === 1) setImmediate(() => this.#workOff());
    };
    return synth;
  }

  #workOff(): void {
    const model = this.#model;
    for (const bytes of this.#waiting.splice(0)) {
      if ((bytes[0] & 0xf0) === 0x90) this.#isInDoubt = false;
      if (bytes[0] < 0xf0) model.channel(bytes[0], bytes[1], bytes[2] ?? 0);
      else model.system(bytes);
      model.log.length = 0;
      for (const fault of model.faults.splice(0)) {
        if (this.#isInDoubt && fault.startsWith('note-off for nothing')) this.spareNoteOffs++;
        else this.faults.push(`${this.name} at ${(performance.now() / 1000).toFixed(1)} s: ${fault}`);
      }
    }
  }
}
