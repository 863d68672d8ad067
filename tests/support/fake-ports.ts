import { findFault } from '../../src/io/ports/library-links.js';
import { toPlaces } from '../../src/io/ports/match-port.js';
import {
  busyError,
  closedError,
  messageError,
  missingError,
  noVirtualPortsError,
} from '../../src/io/ports/port-problems.js';
import type {
  InputLink,
  OnBytes,
  OutputLink,
  PortList,
  PortPlace,
  PortSystem,
} from '../../src/io/ports/port-system.js';
import { FakeKeys, FakeSynth } from './fake-devices.js';

/** A device on the machine, and the program that made it, if one did. */
interface Standing<T> {
  readonly device: T;
  readonly maker?: FakePorts;
}

/**
 * A computer with MIDI devices that come and go, and with programs that use them; each {@link FakePorts} is one.
 *
 * As on the real system, what is sent to an unplugged device is lost without an error, a link is deaf after a replug,
 * and a port that one program makes is seen by the others.
 *
 * @example
 * const machine = new FakeMachine();
 * const keys = machine.plugKeys('Keys');
 * const ports = machine.openPorts();
 * ports.openInput({ name: 'Keys', occurrence: 1 }, (bytes) => console.log(bytes));
 * keys.feed(0x90, 60, 64);
 */
export class FakeMachine {
  /** The time in ms, for what synths receive. */
  readonly now: () => number;
  #keys: Standing<FakeKeys>[] = [];
  #synths: Standing<FakeSynth>[] = [];

  constructor(now: () => number = () => 0) {
    this.now = now;
  }

  plugKeys(name: string): FakeKeys {
    const device = new FakeKeys(name);
    this.#keys.push({ device });
    return device;
  }

  /** @param bytesPerSecond of its cable; {@link DIN_BYTES_PER_SECOND} to see messages queue */
  plugSynth(name: string, bytesPerSecond = Number.POSITIVE_INFINITY): FakeSynth {
    const device = new FakeSynth(name, this.now, bytesPerSecond);
    this.#synths.push({ device });
    return device;
  }

  openPorts(options: { readonly virtualPorts?: boolean } = {}): FakePorts {
    return new FakePorts(this, options.virtualPorts ?? true);
  }

  /** What plays, and wasn't made by this program. */
  keysFor(program: FakePorts): FakeKeys[] {
    this.#keys = this.#keys.filter(({ device }) => device.isPlugged);
    return this.#keys.filter(({ maker }) => maker !== program).map(({ device }) => device);
  }

  /** What can be played, and wasn't made by this program. */
  synthsFor(program: FakePorts): FakeSynth[] {
    this.#synths = this.#synths.filter(({ device }) => device.isPlugged);
    return this.#synths.filter(({ maker }) => maker !== program).map(({ device }) => device);
  }

  addKeys(device: FakeKeys, maker: FakePorts): void {
    this.#keys.push({ device, maker });
  }

  addSynth(device: FakeSynth, maker: FakePorts): void {
    this.#synths.push({ device, maker });
  }
}

/** One program's ports on a {@link FakeMachine}. Passes the same contract as the real ones. */
export class FakePorts implements PortSystem {
  readonly virtualPorts: boolean;
  /** What `list` throws while it is set. */
  listFault: unknown;
  /** The inputs of our own by name, newest first: `receive` is another program playing into them. */
  readonly ownInputs = new Map<string, FakeSynth>();
  /** The outputs of our own by name, newest first: what was sent through them, whoever listens. */
  readonly ownOutputs = new Map<string, FakeSynth>();
  readonly #machine: FakeMachine;
  readonly #own = new Set<FakeKeys | FakeSynth>();
  readonly #links = new Set<InputLink | OutputLink>();
  #isOpen = true;

  constructor(machine: FakeMachine, virtualPorts: boolean) {
    this.#machine = machine;
    this.virtualPorts = virtualPorts;
  }

  /** How many links are open. */
  get openLinks(): number {
    return this.#links.size;
  }

  list(): PortList {
    this.#check();
    if (this.listFault !== undefined) throw this.listFault;
    return {
      inputs: toPlaces(this.#machine.keysFor(this).map(({ name }) => name)),
      outputs: toPlaces(this.#machine.synthsFor(this).map(({ name }) => name)),
    };
  }

  openInput(place: PortPlace, onBytes: OnBytes): InputLink {
    this.#check();
    const keys = findAt(this.#machine.keysFor(this), place);
    if (keys === undefined) throw missingError('input', place);
    if (keys.busy) throw busyError('input', place);
    return this.#link({}, keys, keys.listen(onBytes));
  }

  openOutput(place: PortPlace): OutputLink {
    this.#check();
    const synth = findAt(this.#machine.synthsFor(this), place);
    if (synth === undefined) throw missingError('output', place);
    if (synth.busy) throw busyError('output', place);
    return this.#outputLink(synth, () => {});
  }

  createInput(name: string, onBytes: OnBytes): InputLink {
    this.#check();
    if (!this.virtualPorts) throw noVirtualPortsError('win32', name);
    const synth = new FakeSynth(name, this.#machine.now, Number.POSITIVE_INFINITY, onBytes);
    this.ownInputs.set(name, synth);
    this.#own.add(synth);
    this.#machine.addSynth(synth, this);
    return this.#link({}, synth, () => synth.unplug());
  }

  createOutput(name: string): OutputLink {
    this.#check();
    if (!this.virtualPorts) throw noVirtualPortsError('win32', name);
    const keys = new FakeKeys(name);
    const { now } = this.#machine;
    const synth = new FakeSynth(name, now, Number.POSITIVE_INFINITY, (bytes) => keys.feed(...bytes));
    this.ownOutputs.set(name, synth);
    this.#own.add(synth);
    this.#machine.addKeys(keys, this);
    return this.#outputLink(synth, () => keys.unplug());
  }

  close(): void {
    this.#isOpen = false;
    for (const link of [...this.#links]) link.close();
  }

  #check(): void {
    if (!this.#isOpen) throw closedError('The list of MIDI ports');
  }

  #outputLink(synth: FakeSynth, onClose: () => void): OutputLink {
    let isOpen = true;
    const send = (bytes: Uint8Array): void => {
      if (!isOpen) throw closedError(`The MIDI output "${synth.name}"`);
      const fault = findFault(bytes, 65_536);
      if (fault !== undefined) throw messageError(fault);
      synth.receive(bytes);
    };
    return this.#link({ send }, synth, () => {
      isOpen = false;
      onClose();
    });
  }

  /** Where a device stands now; of our own ports, their names. */
  #placeOf(device: FakeKeys | FakeSynth): PortPlace | undefined {
    const { name } = device;
    if (this.#own.has(device)) return { name, occurrence: 1 };
    const devices = device instanceof FakeKeys ? this.#machine.keysFor(this) : this.#machine.synthsFor(this);
    const same = devices.filter((one) => one.name === name);
    const at = same.indexOf(device);
    return at < 0 ? undefined : { name, occurrence: at + 1 };
  }

  #link<T extends object>(own: T, device: FakeKeys | FakeSynth, onClose: () => void): T & InputLink {
    const link = {
      ...own,
      placeNow: () => (this.#links.has(link) ? this.#placeOf(device) : undefined),
      close: () => {
        if (this.#links.delete(link)) onClose();
      },
    };
    this.#links.add(link);
    return link;
  }
}

function findAt<T extends { readonly name: string }>(devices: readonly T[], place: PortPlace): T | undefined {
  return devices.filter(({ name }) => name === place.name)[place.occurrence - 1];
}
