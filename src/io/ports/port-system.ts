/**
 * A place a link can be opened to: a port of a device or of another program.
 *
 * Places are identified by what stays the same over a replug or a restart. Indices don't, nor do the numbers some
 * systems append to a name; both are left out.
 */
export interface PortPlace {
  /** The system's name, without any number the system appends. */
  readonly name: string;
  /** Counts equal names from 1, in the system's order. */
  readonly occurrence: number;
}

/** The ports that can be opened now, without those made by the same {@link PortSystem}, in both directions. */
export interface PortList {
  /** Ports to play from: keyboards, other programs' outputs. */
  readonly inputs: readonly PortPlace[];
  /** Ports to play to: synthesizers, other programs' inputs. */
  readonly outputs: readonly PortPlace[];
}

/** An open input. Its bytes go to the function it was opened with. */
export interface InputLink {
  /**
   * The place of its far end in the last {@link PortSystem.list}; undefined once that is gone, even if an equal name
   * has come in its place, and after `close`. The number changes when an equal name before it comes or goes. For a port
   * of ours it is its name.
   */
  placeNow(): PortPlace | undefined;
  /** Afterwards no byte is delivered. Does nothing the second time; never throws. */
  close(): void;
}

/** An open output. */
export interface OutputLink {
  /**
   * Sends one whole message: a channel message with its status, a system message, or a SysEx from F0 to F7. Returns
   * when the system has it; the bytes may be reused then. On Linux that takes 3 ms more for each 1024 bytes of a SysEx
   * beyond the first 4096. Allocates nothing for messages of up to three bytes.
   *
   * Throws a LeewayError and sends nothing: PORT_MESSAGE for bytes that are no whole message or a SysEx longer than the
   * system can carry, PORT_SEND if the system refuses them, PORT_CLOSED after `close`. Messages to an unplugged device
   * may be lost without an error; see `placeNow`.
   *
   * @example link.send(Uint8Array.of(0x90, 60, 64));
   */
  send(bytes: Uint8Array): void;
  /** As in {@link InputLink}. */
  placeNow(): PortPlace | undefined;
  /** Sends nothing, so drain first. Does nothing the second time; never throws. */
  close(): void;
}

/**
 * Takes the bytes of an input as they come: usually whole messages, but a real-time byte inside a SysEx may be on the
 * wrong side of a cut, so read them as a stream (`LiveParser`). The receiver owns the array. Must not throw.
 */
export type OnBytes = (bytes: Uint8Array) => void;

/**
 * The MIDI ports of this computer. Everything is synchronous.
 *
 * A failure is a LeewayError: PORT_MISSING (no such place now), PORT_BUSY (there, but it can't be opened, most often
 * because another program holds it), NO_VIRTUAL_PORTS, PORT_CLOSED (after `close`).
 */
export interface PortSystem {
  /** Whether it can make ports, for other programs to connect to. */
  readonly virtualPorts: boolean;
  list(): PortList;
  openInput(place: PortPlace, onBytes: OnBytes): InputLink;
  openOutput(place: PortPlace): OutputLink;
  /** Makes an input, which other programs see as something to play. @param name its name for them */
  createInput(name: string, onBytes: OnBytes): InputLink;
  /** Makes an output, which other programs see as something that plays. @param name its name for them */
  createOutput(name: string): OutputLink;
  /** Closes all links, and removes the ports it made. Does nothing the second time; never throws. */
  close(): void;
}
