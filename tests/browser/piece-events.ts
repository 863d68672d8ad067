import { readFileSync } from 'node:fs';
import { isNoteOff, isNoteOn, META, parseMidiFile, toTempoMap, tracksOf } from '../../src/core/midi/index.js';

/** A key of a piece going down or coming up. */
export interface PieceEvent {
  readonly atMs: number;
  readonly part: number;
  readonly key: number;
  readonly isDown: boolean;
}

/** One pass of a demo piece: its keys in order, and how long it lasts. */
export interface PiecePass {
  readonly title: string;
  readonly lengthMs: number;
  readonly events: readonly PieceEvent[];
}

/** Reads the first pass of a demo piece: up to its marker of the second. */
export function readPass(name: string): PiecePass {
  const parsed = parseMidiFile(readFileSync(new URL(`../../configs/demo/${name}.mid`, import.meta.url)));
  if (!parsed.ok) throw new Error(parsed.problem.message);
  const file = parsed.value.file;
  const tempo = toTempoMap(file, 0);
  const all = tracksOf(file).flatMap((track) => track.events);
  const textOf = (data: Uint8Array) => String.fromCharCode(...data);
  const second = all.find(
    (event) => event.kind === 'meta' && event.type === META.marker && textOf(event.data) === 'pass 2',
  );
  const title = all.find((event) => event.kind === 'meta' && event.type === META.trackName);
  if (second === undefined || title?.kind !== 'meta') throw new Error(`${name} has no second pass`);
  const events = all.flatMap((event): PieceEvent[] => {
    if (event.kind !== 'channel' || event.tick > second.tick) return [];
    const { status, data1, data2 } = event;
    const isDown = isNoteOn(status, data2);
    if (!isDown && !isNoteOff(status, data2)) return [];
    if (isDown && event.tick >= second.tick) return [];
    return [{ atMs: tempo.toMs(event.tick), part: status & 0x0f, key: data1, isDown }];
  });
  // Keys come up before others go down.
  events.sort((a, b) => a.atMs - b.atMs || Number(a.isDown) - Number(b.isDown));
  return { title: textOf(title.data), lengthMs: tempo.toMs(second.tick), events };
}
