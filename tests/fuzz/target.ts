import type { Random } from './random.js';

/** Something that is given inputs of all kinds, and what must hold of it. Every input is bytes, so that all are shrunk and kept alike. */
export interface Target {
  /** Names its file of seeds, and what `--only` takes. */
  readonly name: string;
  /** Of a thousand cases, how many are its. */
  readonly share: number;
  /**
   * Makes an input, of nothing or out of those known.
   * @param known never empty: those that were kept, and those found since that did something new
   */
  readonly generate: (random: Random, known: readonly Uint8Array[]) => Uint8Array;
  /** An input or more to begin with, besides those kept. */
  readonly first: readonly Uint8Array[];
  /**
   * Throws where what must hold doesn't. Else what became of the input, in words without numbers: who answers with new words
   * is kept and changed further, which leads on into the program.
   */
  readonly check: (input: Uint8Array) => string;
}

/** An invariant that doesn't hold. */
export class Broken extends Error {
  override readonly name = 'Broken';
}

/** Throws unless it holds. The sentence is only built where it is needed. */
export function must(holds: boolean, what: () => string): asserts holds {
  if (!holds) throw new Broken(what());
}

/** As `7f00ff`. */
export function toHexText(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('hex');
}

/** Back again. Blanks are left out. */
export function parseHexText(text: string): Uint8Array {
  return new Uint8Array(Buffer.from(text.replaceAll(/\s/g, ''), 'hex'));
}
