import { sendError } from '../../src/io/ports/port-problems.js';
import type { FakeSynth } from '../support/fake-devices.js';
import type { FakeMachine } from '../support/fake-ports.js';
import type { ByteRing } from './byte-ring.js';
import { HEARD, toPieceKind } from './listening.js';

const NOTHING = new Uint8Array(0);

/**
 * A synth that can be unplugged. What it is sent it puts into the ring and no more: so the sender's time is the sender's
 * alone. What it sounds, the listener knows.
 */
export class HeardSynth {
  readonly name: string;
  /**
   * Messages that arrived, that were sent while nobody was there, that were refused on purpose, and that the ring had no
   * room for: after one of these nothing the listener says holds.
   */
  readonly counts = { arrived: 0, lost: 0, refused: 0, unheard: 0 };
  /** When the last message arrived, in milliseconds. */
  lastMs = 0;
  readonly #machine: FakeMachine;
  readonly #place: number;
  readonly #ring: ByteRing;
  #synth: FakeSynth;
  #isRefusing = false;

  /** @param place among the listener's synths */
  constructor(machine: FakeMachine, name: string, place: number, ring: ByteRing) {
    this.#machine = machine;
    this.name = name;
    this.#place = place;
    this.#ring = ring;
    this.#synth = this.#plug();
  }

  unplug(): void {
    this.#synth.unplug();
  }

  /** Its cable is back. It was on all the while, and sounds on what it wasn't told to end. */
  replug(): void {
    this.#write(HEARD.replugged, NOTHING);
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
        this.#write(HEARD.refused, NOTHING);
        this.counts.refused++;
        throw sendError(this.name, new Error('refused on purpose'));
      }
      if (!synth.isPlugged) {
        this.counts.lost++;
        return;
      }
      this.counts.arrived++;
      this.#write(HEARD.message, bytes);
      this.lastMs = performance.now();
    };
    return synth;
  }

  #write(heard: (typeof HEARD)[keyof typeof HEARD], bytes: Uint8Array): void {
    if (!this.#ring.write(toPieceKind(this.#place, heard), bytes)) this.counts.unheard++;
  }
}
