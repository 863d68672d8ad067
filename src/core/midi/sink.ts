/**
 * Where MIDI messages go: a port, a track of a file, a test's list. One call a message, in the order of the wire.
 *
 * Channel messages travel as their three numbers, so that the note path allocates nothing; `data2` is 0 and ignored
 * for the two-byte messages (program change, channel pressure).
 */
export interface MidiSink {
  /**
   * @param status 0x80..0xEF: message type in the high nibble, channel 0..15 in the low one
   * @param data1  0..127
   * @param data2  0..127
   */
  channel(status: number, data1: number, data2: number): void;
  /** A whole system message: SysEx with its F0 and F7, or system common or real time. The sink may keep the bytes. */
  system(bytes: Uint8Array): void;
}
