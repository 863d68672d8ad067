import { EventEmitter } from 'node:events';
import type { MidiLibrary } from '../../src/io/ports/midi-library.js';

/** A port as the system below the library lists it. */
interface Listed {
  readonly name: string;
  /** Whether opening it is refused. */
  readonly busy?: boolean;
}

/**
 * A native library that behaves as the real one was seen to: names are looked up by index, a refusal has no reason, a
 * wrong index is a RangeError, only a Buffer can be sent, and what is made stays until destroyed.
 */
export class FakeLibrary {
  /** What plays, and what can be played. */
  inputs: Listed[] = [];
  outputs: Listed[] = [];
  /** Everything that was sent, array by array. */
  readonly sent: number[][] = [];
  /** Whether the next sends throw. */
  refuses = false;
  /** What a new port of our own is listed as. */
  toListed = (name: string): string => name;
  /** Whether a port of our own can't be made. */
  refusesOwn = false;
  /** How often opening a busy port was refused, each time with a line on standard error. */
  refusals = 0;
  /** Objects that were made and not destroyed. */
  alive = 0;
  /** Called when a name is read, so that a test can change the list in between. */
  onRead: () => void = () => {};

  /** Called when a port of a list is opened, so that a test can list the near end of the link. */
  onOpen: (list: readonly Listed[]) => unknown = () => {};

  readonly library: MidiLibrary;

  constructor() {
    // Two classes, as the library has; each needs the fake's own lists.
    const fake = this;
    class Port extends EventEmitter {
      readonly #list: () => Listed[];
      readonly #others: () => Listed[];
      #own: Listed | undefined;
      #isAlive = true;

      constructor(list: () => Listed[], others: () => Listed[]) {
        super();
        fake.alive++;
        this.#list = list;
        this.#others = others;
      }

      getPortCount(): number {
        return this.#list().length;
      }

      getPortName(index: number): string {
        fake.onRead();
        return this.#list()[index]?.name ?? '';
      }

      openPort(index: number): void {
        const port = this.#list()[index];
        if (port === undefined) throw new RangeError('Invalid MIDI port number');
        if (port.busy) {
          fake.refusals++;
          throw new Error('Internal RtMidi error');
        }
        fake.onOpen(this.#list());
      }

      openVirtualPort(name: string): void {
        if (fake.refusesOwn) throw new Error('Internal RtMidi error');
        this.#own = { name: fake.toListed(name) };
        this.#others().push(this.#own);
      }

      ignoreTypes(...types: boolean[]): void {
        if (types.some((one) => one)) throw new Error('Some types would be dropped.');
      }

      sendMessage(message: unknown): void {
        if (!Buffer.isBuffer(message)) throw new Error('First argument must be an array or Buffer');
        if (fake.refuses) throw new Error('Internal RtMidi error');
        fake.sent.push([...message]);
      }

      destroy(): void {
        if (!this.#isAlive) return;
        this.#isAlive = false;
        fake.alive--;
        const others = this.#others();
        if (this.#own !== undefined) others.splice(others.indexOf(this.#own), 1);
      }
    }
    class Input extends Port {
      constructor() {
        super(
          () => fake.inputs,
          () => fake.outputs,
        );
      }
    }
    class Output extends Port {
      constructor() {
        super(
          () => fake.outputs,
          () => fake.inputs,
        );
      }
    }
    this.library = { Input, Output } as unknown as MidiLibrary;
  }
}
