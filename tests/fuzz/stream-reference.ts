/** What a live stream holds, by the standard. */
export interface Heard {
  /** Whole messages in the order they are complete, as bytes; channel messages with their status byte in front. */
  readonly messages: number[][];
  readonly strayBytes: number;
  readonly undefinedStatuses: number;
  readonly incompleteMessages: number;
  readonly interruptedSysex: number;
}

interface Placed {
  /** Place of its last byte in the stream. */
  readonly at: number;
  readonly bytes: number[];
}

/** Data bytes of a status: MIDI 1.0 Detailed Specification 4.2.1, Tables I and V. */
function lengthOf(status: number): number {
  if (status < 0xf0) return status >> 4 === 0xc || status >> 4 === 0xd ? 1 : 2;
  return { 241: 1, 242: 2, 243: 1 }[status] ?? 0;
}

/**
 * Reads a whole stream at once, the other way round: real-time bytes are taken out first, then what is left is cut before
 * each status byte. Slow, and nothing of it is shared with the parser it checks.
 */
export function readStream(stream: readonly number[]): Heard {
  const placed: Placed[] = [];
  const rest: { byte: number; at: number }[] = [];
  stream.forEach((byte, at) => {
    if (byte >= 0xf8) placed.push({ at, bytes: [byte] });
    else rest.push({ byte, at });
  });
  const starts = rest.flatMap(({ byte }, i) => (byte >= 0x80 ? [i] : []));
  const counts = {
    strayBytes: starts[0] ?? rest.length,
    undefinedStatuses: 0,
    incompleteMessages: 0,
    interruptedSysex: 0,
  };
  starts.forEach((start, i) => {
    const end = starts[i + 1] ?? rest.length;
    const isLast = i === starts.length - 1;
    const status = rest[start].byte;
    const data = rest.slice(start + 1, end);
    const put = (from: number, to: number): void => {
      const bytes = [status, ...data.slice(from, to).map(({ byte }) => byte)];
      placed.push({ at: to === 0 ? rest[start].at : data[to - 1].at, bytes });
    };
    const length = lengthOf(status);
    if (status < 0xf0) {
      let at = 0;
      for (; at + length <= data.length; at += length) put(at, at + length);
      if (at < data.length && !isLast) counts.incompleteMessages++;
    } else if (status === 0xf0) {
      if (isLast) return;
      if (rest[end].byte === 0xf7)
        placed.push({ at: rest[end].at, bytes: [0xf0, ...data.map(({ byte }) => byte), 0xf7] });
      else counts.interruptedSysex++;
    } else if (status === 0xf7) {
      const isStray = i === 0 || rest[starts[i - 1]].byte !== 0xf0;
      counts.strayBytes += data.length + (isStray ? 1 : 0);
    } else if (status === 0xf4 || status === 0xf5) {
      counts.undefinedStatuses++;
      counts.strayBytes += data.length;
    } else if (data.length >= length) {
      put(0, length);
      counts.strayBytes += data.length - length;
    } else if (!isLast) counts.incompleteMessages++;
  });
  placed.sort((a, b) => a.at - b.at);
  return { messages: placed.map(({ bytes }) => bytes), ...counts };
}
