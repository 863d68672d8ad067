import { LeewayError } from '../leeway-error.js';
import { formatPlace } from './match-port.js';
import { strangeError } from './port-problems.js';
import type { InputLink, OutputLink, PortList, PortPlace, PortSystem } from './port-system.js';
import { RetryWait } from './retry-wait.js';
import { seekPlace } from './seek-place.js';
import type { ReconnectorListener, WantedPort } from './wanted-port.js';

interface Slot {
  readonly port: WantedPort;
  link: InputLink | OutputLink | undefined;
  place: PortPlace | undefined;
  /** Its place at the last check, for people; undefined if there was none. */
  foundAt: string | undefined;
  /** Code of the last report while it was closed, so that it isn't repeated. */
  reported: string | undefined;
  readonly wait: RetryWait;
}

/**
 * Opens wanted ports, closes those that go, and opens them again when they are back.
 *
 * No system reports when a port comes or goes, so its owner calls `look` regularly (250 ms is good). It never throws
 * and takes the time as an argument. Ports present at the first look are opened at once. Later ones are opened when two
 * looks in a row have seen them, since a device being plugged in may appear and vanish again. The inputs come first.
 * What {@link seekPlace} refuses is reported as `failed`.
 *
 * @example
 * const reconnector = new PortReconnector(ports, [{ direction: 'output', name: 'Synth', own: false }], listener);
 * setInterval(() => reconnector.look(performance.now()), 250);
 */
export class PortReconnector {
  readonly #system: PortSystem;
  readonly #listener: ReconnectorListener;
  #slots: readonly Slot[];
  #looked = false;
  #isOpen = true;
  /** Errors thrown by the listener's functions, so that none is lost. */
  readonly faults: unknown[] = [];

  /** Opens nothing yet. The caller still closes the system. */
  constructor(system: PortSystem, wanted: readonly WantedPort[], listener: ReconnectorListener) {
    this.#system = system;
    this.#listener = listener;
    this.#slots = putInputsFirst(wanted).map(createSlot);
  }

  /** Changes the wanted ports. A port wanted before, as the same object, stays as it is; the rest is closed. */
  want(wanted: readonly WantedPort[]): void {
    if (!this.#isOpen) return;
    const before = this.#slots;
    this.#slots = putInputsFirst(wanted).map(
      (port) => before.find((slot) => slot.port === port) ?? createSlot(port),
    );
    for (const slot of before) if (!this.#slots.includes(slot)) this.#release(slot);
  }

  /** Where a port is open now; undefined if it isn't. */
  placeOf(port: WantedPort): PortPlace | undefined {
    return this.#slotOf(port)?.place;
  }

  /**
   * Checks the ports and does what is needed.
   * @param nowMs a clock that only goes forward; if it jumps back, waiting starts again
   */
  look(nowMs: number): void {
    if (!this.#isOpen) return;
    let list: PortList;
    try {
      list = this.#system.list();
    } catch (error) {
      // Nothing is known now: open ports stay open.
      for (const slot of this.#slots)
        if (slot.link === undefined) this.#tellFailed(slot, toKnown(error, slot.port));
      return;
    }
    for (const slot of this.#slots) this.#check(slot);
    for (const slot of this.#slots)
      if (slot.link === undefined && this.#isOpen) this.#seek(slot, list, nowMs);
    this.#looked = true;
  }

  /**
   * Closes a port that doesn't work, as when a message was refused; it is tried again after a while. Reported as
   * `failed`. Does nothing if it isn't open.
   */
  drop(port: WantedPort, error: LeewayError, nowMs: number): void {
    const slot = this.#slotOf(port);
    if (slot?.link === undefined) return;
    this.#release(slot);
    slot.wait.breakDown(nowMs);
    this.#tellFailed(slot, error);
  }

  /** Closes all it opened, without reports. Does nothing the second time; never throws. */
  close(): void {
    this.#isOpen = false;
    for (const slot of this.#slots) this.#release(slot);
  }

  #slotOf(port: WantedPort): Slot | undefined {
    return this.#slots.find((slot) => slot.port === port);
  }

  /** Checks whether an open port is still there, and where. */
  #check(slot: Slot): void {
    const { port, link, place } = slot;
    if (link === undefined || place === undefined) return;
    slot.place = link.placeNow();
    if (slot.place !== undefined) return;
    this.#release(slot);
    slot.reported = 'PORT_MISSING';
    slot.wait.clear();
    this.#tell(() => this.#listener.lost(port, place));
  }

  #release(slot: Slot): void {
    slot.link?.close();
    slot.link = undefined;
    slot.place = undefined;
    slot.foundAt = undefined;
    slot.reported = undefined;
  }

  /** Opens a port if it is there, settled, and not waiting. */
  #seek(slot: Slot, list: PortList, nowMs: number): void {
    const { port } = slot;
    if (port.own) {
      if (slot.reported !== 'NO_VIRTUAL_PORTS' && slot.wait.isDue(nowMs)) {
        this.#open(slot, { name: port.name, occurrence: 1 }, nowMs);
      }
      return;
    }
    const sought = seekPlace(port, list, this.#slots);
    if (sought.kind === 'refused') {
      this.#tellFailed(slot, sought.reason);
      return;
    }
    if (sought.kind === 'away') {
      slot.foundAt = undefined;
      slot.wait.clear();
      this.#tellWaiting(slot, sought.reason);
      return;
    }
    const { place } = sought;
    const wasThere = slot.foundAt === formatPlace(place);
    slot.foundAt = formatPlace(place);
    if ((wasThere || !this.#looked) && slot.wait.isDue(nowMs)) this.#open(slot, place, nowMs);
  }

  #open(slot: Slot, place: PortPlace, nowMs: number): void {
    const { port } = slot;
    let link: InputLink | OutputLink;
    let output: OutputLink | undefined;
    try {
      if (port.direction === 'input') {
        const onBytes = (bytes: Uint8Array): void => this.#listener.bytes(port, bytes);
        link = port.own
          ? this.#system.createInput(port.name, onBytes)
          : this.#system.openInput(place, onBytes);
      } else {
        output = port.own ? this.#system.createOutput(port.name) : this.#system.openOutput(place);
        link = output;
      }
    } catch (error) {
      const known = toKnown(error, port);
      slot.wait.fail(nowMs);
      // It went between the check and the opening.
      if (known.code === 'PORT_MISSING') this.#tellWaiting(slot, known);
      else this.#tellFailed(slot, known);
      return;
    }
    slot.link = link;
    slot.place = place;
    slot.reported = undefined;
    slot.wait.work(nowMs);
    this.#tell(() => this.#listener.opened(port, place, output));
  }

  #tellWaiting(slot: Slot, reason: LeewayError): void {
    if (slot.reported === reason.code) return;
    slot.reported = reason.code;
    this.#tell(() => this.#listener.waiting(slot.port, reason));
  }

  #tellFailed(slot: Slot, error: LeewayError): void {
    if (slot.reported === error.code) return;
    slot.reported = error.code;
    this.#tell(() => this.#listener.failed(slot.port, error));
  }

  #tell(act: () => void): void {
    try {
      act();
    } catch (error) {
      // A fault at every look must not fill the memory.
      if (this.faults.length < 100) this.faults.push(error);
    }
  }
}

function putInputsFirst(wanted: readonly WantedPort[]): WantedPort[] {
  return [...wanted].sort((a, b) => Number(a.direction === 'output') - Number(b.direction === 'output'));
}

function createSlot(port: WantedPort): Slot {
  return {
    port,
    link: undefined,
    place: undefined,
    foundAt: undefined,
    reported: undefined,
    wait: new RetryWait(),
  };
}

function toKnown(error: unknown, { direction, name }: WantedPort): LeewayError {
  return error instanceof LeewayError ? error : strangeError(direction, name, error);
}
