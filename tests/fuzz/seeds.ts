import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { parseHexText, toHexText } from './target.js';

/** A line of a file of seeds: an input, and what it did, or what failed of it once. */
export interface Seed {
  readonly input: Uint8Array;
  readonly note: string;
}

/** `kept`: inputs that lead far into the program. `failed`: each that ever failed. */
export type SeedKind = 'kept' | 'failed';

/** Reads a file of seeds; one that isn't there is empty. */
export function readSeeds(name: string, kind: SeedKind): Seed[] {
  const place = toPlace(name, kind);
  if (!existsSync(place)) return [];
  const lines = readFileSync(place, 'utf8').split('\n');
  return lines
    .filter((line) => line !== '')
    .map((line) => {
      const [hex, ...note] = line.split(' # ');
      return { input: parseHexText(hex), note: note.join(' # ') };
    });
}

/** Writes a file of seeds anew. */
export function writeSeeds(name: string, kind: SeedKind, seeds: readonly Seed[]): void {
  const lines = seeds.map(({ input, note }) => `${toHexText(input)} # ${note.replaceAll('\n', ' ')}\n`);
  writeFileSync(toPlace(name, kind), lines.join(''));
}

const toPlace = (name: string, kind: SeedKind): URL => new URL(`seeds/${name}.${kind}.txt`, import.meta.url);
