import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseMidi } from 'midi-file';

/** What another reader finds in the files of a take, summed over ports. */
export interface Taken {
  readonly files: number;
  readonly noteOns: number;
  readonly noteOffs: number;
}

/** Reads the MIDI files of the one take in a folder. Throws if one of them is none. */
export function readTake(folder: string, direction: 'in' | 'out', ports: readonly string[]): Taken {
  const [take] = readdirSync(folder);
  const names = readdirSync(join(folder, take)).filter((name) =>
    ports.some((port) => name.startsWith(`${direction}-`) && name.endsWith(` ${port}.mid`)),
  );
  let noteOns = 0;
  let noteOffs = 0;
  for (const name of names) {
    for (const track of parseMidi(readFileSync(join(folder, take, name))).tracks) {
      for (const event of track) {
        if (event.type === 'noteOn') noteOns++;
        if (event.type === 'noteOff') noteOffs++;
      }
    }
  }
  return { files: names.length, noteOns, noteOffs };
}
