import { readConnections } from './alsa-connections.js';
import { findNew, readNames } from './full-names.js';
import { LibraryInputLink, LibraryOutputLink, type Watch } from './library-links.js';
import { isLinkEnd, toAddress, toPlaceName, toPlaces } from './match-port.js';
import type { MidiLibrary } from './midi-library.js';
import { busyError, closedError, missingError, noVirtualPortsError } from './port-problems.js';
import type { InputLink, OnBytes, OutputLink, PortList, PortPlace, PortSystem } from './port-system.js';
import { RefusedPorts, readRawUse } from './refused-ports.js';
import type { Direction } from './wanted-port.js';

type Port = InstanceType<MidiLibrary['Input']> | InstanceType<MidiLibrary['Output']>;

/** A port in the library, and its place. */
interface Entry {
  readonly index: number;
  readonly fullName: string;
  readonly place: PortPlace;
}

/**
 * The ports of the native library.
 *
 * Each link has a separate library object, destroyed with it: one that was closed and opened again has been seen to
 * receive nothing. Names are read through two objects that never open a port and so don't keep a process alive.
 */
export class LibraryPortSystem implements PortSystem {
  readonly virtualPorts: boolean;
  readonly #library: MidiLibrary;
  readonly #platform: NodeJS.Platform;
  readonly #listers: { readonly input: Port; readonly output: Port };
  /**
   * Full names of the ports this program made. For other programs an output is something to listen to, so it is under
   * `input`.
   */
  readonly #own: { readonly input: string[]; readonly output: string[] } = { input: [], output: [] };
  /** Full names at the last reading. */
  #seen: { readonly input: readonly string[]; readonly output: readonly string[] } = {
    input: [],
    output: [],
  };
  /** The connections read with them; undefined on systems without them. */
  #connections: ReadonlySet<string> | undefined;
  readonly #readConnections: () => ReadonlySet<string> | undefined;
  /** A busy port isn't tried at each look. */
  readonly #refused: Readonly<Record<Direction, RefusedPorts>>;
  readonly #links = new Set<InputLink | OutputLink>();
  #isOpen = true;

  /** Throws the library's error where MIDI can't be used: only creating its objects shows that. */
  constructor(
    library: MidiLibrary,
    platform: NodeJS.Platform,
    connections: () => ReadonlySet<string> | undefined = readConnections,
    rawUse: () => string | undefined = platform === 'linux' ? readRawUse : () => undefined,
  ) {
    this.#library = library;
    this.#platform = platform;
    this.#readConnections = connections;
    const readUse = () => {
      const use = rawUse();
      return use === undefined ? undefined : `${use} ${[...(this.#connections ?? [])].join(' ')}`;
    };
    this.#refused = { input: new RefusedPorts(readUse), output: new RefusedPorts(readUse) };
    this.virtualPorts = platform !== 'win32';
    this.#listers = { input: new library.Input(), output: new library.Output() };
  }

  list(): PortList {
    this.#checkOpen();
    this.#look();
    const toList = (direction: Direction) => this.#entries(direction).map(({ place }) => place);
    return { inputs: toList('input'), outputs: toList('output') };
  }

  openInput(place: PortPlace, onBytes: OnBytes): InputLink {
    this.#checkOpen();
    const input = new this.#library.Input();
    const watch = this.#open(input, 'input', place);
    return this.#keep(new LibraryInputLink(input, onBytes, watch));
  }

  openOutput(place: PortPlace): OutputLink {
    this.#checkOpen();
    const output = new this.#library.Output();
    const watch = this.#open(output, 'output', place);
    return this.#keep(new LibraryOutputLink(output, place.name, this.#platform, watch));
  }

  createInput(name: string, onBytes: OnBytes): InputLink {
    this.#checkOpen();
    const input = new this.#library.Input();
    const forget = this.#create(input, 'output', name);
    return this.#keep(
      new LibraryInputLink(input, onBytes, { placeNow: () => ({ name, occurrence: 1 }), forget }),
    );
  }

  createOutput(name: string): OutputLink {
    this.#checkOpen();
    const output = new this.#library.Output();
    const forget = this.#create(output, 'input', name);
    return this.#keep(
      new LibraryOutputLink(output, name, this.#platform, {
        placeNow: () => ({ name, occurrence: 1 }),
        forget,
      }),
    );
  }

  close(): void {
    if (!this.#isOpen) return;
    this.#isOpen = false;
    for (const link of this.#links) link.close();
    this.#listers.input.destroy();
    this.#listers.output.destroy();
  }

  #checkOpen(): void {
    if (!this.#isOpen) throw closedError('The list of MIDI ports');
  }

  /** Opens the library's object at a place. A refused one is destroyed, or it would keep the process alive. */
  #open(port: Port, direction: Direction, place: PortPlace): Watch {
    try {
      if (port instanceof this.#library.Input) port.ignoreTypes(false, false, false);
      this.#look();
      const entry = this.#entries(direction).find(
        (one) => one.place.name === place.name && one.place.occurrence === place.occurrence,
      );
      // Indices move when a port goes: check that this one still means the same.
      if (entry === undefined || port.getPortName(entry.index) !== entry.fullName) {
        throw missingError(direction, place);
      }
      const ends = this.#linkEnds(direction);
      this.#openIndex(port, entry, direction);
      this.#look();
      const [end, another] = findNew(ends, this.#linkEnds(direction));
      // With two new ones at once, ours can't be identified.
      return this.#toWatch(direction, entry, another === undefined ? end : undefined);
    } catch (error) {
      port.destroy();
      throw error;
    }
  }

  #openIndex(port: Port, { index, fullName, place }: Entry, direction: Direction): void {
    const refused = this.#refused[direction];
    refused.keep(this.#seen[direction]);
    if (refused.has(fullName)) throw busyError(direction, place);
    try {
      port.openPort(index);
    } catch (error) {
      // The library gives no reason. A port that is still there was refused, most often since it is in use.
      this.#look();
      if (this.#seen[direction].includes(fullName)) {
        refused.add(fullName);
        throw busyError(direction, place, error);
      }
      throw missingError(direction, place);
    }
  }

  /**
   * Makes a port and stores its full name, so that it is never offered.
   * @param direction its list, seen from outside
   * @returns removes the name
   */
  #create(port: Port, direction: Direction, name: string): () => void {
    try {
      if (!this.virtualPorts) throw noVirtualPortsError(this.#platform, name);
      if (port instanceof this.#library.Input) port.ignoreTypes(false, false, false);
      this.#look();
      const before = this.#seen[direction];
      try {
        port.openVirtualPort(name);
      } catch (error) {
        throw noVirtualPortsError(this.#platform, name, error);
      }
      this.#look();
      const fullName = findNew(before, this.#seen[direction]).find((one) => {
        const placeName = toPlaceName(one, this.#platform);
        return placeName === name || placeName.endsWith(`:${name}`);
      });
      if (fullName === undefined) return () => {};
      const own = this.#own[direction];
      own.push(fullName);
      return () => void own.splice(own.indexOf(fullName), 1);
    } catch (error) {
      port.destroy();
      throw error;
    }
  }

  #keep<T extends InputLink | OutputLink>(link: T & { onClose(onClosed: () => void): void }): T {
    this.#links.add(link);
    link.onClose(() => this.#links.delete(link));
    return link;
  }

  /**
   * Finds the far end of a link again: by its full name, by its number among equal ones where systems have such, and by
   * the connection where the system has it.
   * @param end full name of the link's near end, if it is listed
   */
  #toWatch(direction: Direction, entry: Entry, end: string | undefined): Watch {
    const same = () => this.#entries(direction).filter(({ fullName }) => fullName === entry.fullName);
    const nth = same().findIndex(({ index }) => index === entry.index);
    const [far, near] = [toAddress(entry.fullName), toAddress(end ?? '')];
    const connection = direction === 'input' ? `${far}>${near}` : `${near}>${far}`;
    const isCut = () => near !== undefined && this.#connections?.has(connection) === false;
    return { placeNow: () => (isCut() ? undefined : same()[nth]?.place), forget: () => {} };
  }

  /** Full names of the near ends of links, ours and others': they are in the list of the other direction. */
  #linkEnds(direction: Direction): string[] {
    const names = this.#seen[direction === 'input' ? 'output' : 'input'];
    return names.filter((name) => isLinkEnd(toPlaceName(name, this.#platform), this.#platform));
  }

  #look(): void {
    this.#seen = { input: readNames(this.#listers.input), output: readNames(this.#listers.output) };
    this.#connections = this.#platform === 'linux' ? this.#readConnections() : undefined;
  }

  /** The ports to offer, from the names read last. */
  #entries(direction: Direction): Entry[] {
    const own = [...this.#own[direction]];
    const open: { index: number; fullName: string }[] = [];
    const names: string[] = [];
    // From the end, since ours is the newest of equal names.
    for (let index = this.#seen[direction].length - 1; index >= 0; index--) {
      const fullName = this.#seen[direction][index];
      const ours = own.indexOf(fullName);
      const name = toPlaceName(fullName, this.#platform);
      if (ours >= 0) own.splice(ours, 1);
      else if (fullName !== '' && !isLinkEnd(name, this.#platform)) {
        open.unshift({ index, fullName });
        names.unshift(name);
      }
    }
    const places = toPlaces(names);
    return open.map(({ index, fullName }, i) => ({ index, fullName, place: places[i] }));
  }
}
