/**
 * A place a link can be opened to: a port of a device or of another program.
 *
 * Places are told apart by what stays the same over a replug or a restart. An index doesn't, nor does the number some
 * systems put behind a name; both are left out.
 */
export interface PortPlace {
  /** As the system calls it, without any number of the system's own behind it. */
  readonly name: string;
  /** Counts equal names from 1, in the system's order. */
  readonly occurrence: number;
}

/** What can be opened now. Ports made by the same {@link PortSystem} are left out, in both directions. */
export interface PortList {
  /** What plays into us: keyboards, other programs' outputs. */
  readonly inputs: readonly PortPlace[];
  /** What we can play: synthesizers, other programs' inputs. */
  readonly outputs: readonly PortPlace[];
}

/** An open way in. Its bytes go to the function it was opened with. */
export interface InputLink {
  /**
   * Where its far end stands in what {@link PortSystem.list} gave last; undefined once that is gone, even if an equal
   * name has come in its place, and after `close`. The number changes where an equal name before it comes or goes. Of a
   * port of our own it is its name.
   */
  placeNow(): PortPlace | undefined;
  /** After it no byte is delivered. Does nothing the second time; never throws. */
  close(): void;
}

/** An open way out. */
export interface OutputLink {
  /**
   * Sends one whole message: a channel message with its status, a system message, or a SysEx from F0 to F7. Returns
   * when the system has it; the bytes may be reused then. On Linux that takes 3 ms more for each 1024 bytes of a SysEx
   * beyond the first 4096. Allocates nothing for messages of up to three bytes.
   *
   * Throws a LeewayError and sends nothing: PORT_MESSAGE for bytes that are no whole message or a SysEx longer than the
   * system can carry, PORT_SEND if the system refuses them, PORT_CLOSED after `close`. What is sent to a device that
   * was unplugged may be lost without a word; see `placeNow`.
   *
   * @example link.send(Uint8Array.of(0x90, 60, 64));
   */
  send(bytes: Uint8Array): void;
  /** As of an {@link InputLink}. */
  placeNow(): PortPlace | undefined;
  /** Sends nothing of its own, so drain first. Does nothing the second time; never throws. */
  close(): void;
}

/**
 * Takes the bytes of an input as they come: whole messages as a rule, but a real-time byte inside a SysEx may come at
 * the wrong side of a cut, so read them as a stream (`LiveParser`). The array is the receiver's to keep. Must not throw.
 */
export type OnBytes = (bytes: Uint8Array) => void;

/**
 * The MIDI ports of this computer. Everything is synchronous.
 *
 * A failure is a LeewayError: PORT_MISSING (no such place now), PORT_BUSY (there, but it can't be opened, most often
 * because another program holds it), NO_VIRTUAL_PORTS, PORT_CLOSED (after `close`).
 */
export interface PortSystem {
  /** Whether it can make ports of our own, for other programs to connect to. */
  readonly virtualPorts: boolean;
  list(): PortList;
  openInput(place: PortPlace, onBytes: OnBytes): InputLink;
  openOutput(place: PortPlace): OutputLink;
  /** Makes an input of our own, which other programs see as something to play. @param name what they see */
  createInput(name: string, onBytes: OnBytes): InputLink;
  /** Makes an output of our own, which other programs see as something that plays. @param name what they see */
  createOutput(name: string): OutputLink;
  /** Closes all links, and removes the ports of our own. Does nothing the second time; never throws. */
  close(): void;
}
