import { type ErrorCode, fail, type Outcome, succeed } from '../outcome.js';
import { LIMITS } from './limits.js';
import type { FilePart } from './upstream.js';

/** Characters of base64 in one message. */
const PART_CHARACTERS = (LIMITS.filePartBytes / 3) * 4;

/**
 * A file in base64 cut into messages. Fails with `FILE_EMPTY` and `FILE_LARGE`. `FILE_LARGE` is over
 * `LIMITS.fileBytes`. A name is cut to `LIMITS.name`.
 *
 * @param base64 the whole file, with padding
 * @param bytes  how long the file is
 * @param upload a number that marks this file's parts
 */
export function toFileParts(
  upload: number,
  name: string,
  base64: string,
  bytes: number,
): Outcome<FilePart[]> {
  if (bytes === 0) {
    return fail({
      code: 'FILE_EMPTY',
      message: `${name} is empty`,
      advice: 'Choose a MIDI file with music in it.',
    });
  }
  if (bytes > LIMITS.fileBytes) {
    const advice = 'Use `leeway retune` for it, or cut the piece.';
    return fail({
      code: 'FILE_LARGE',
      message: `${name} is larger than ${LIMITS.fileBytes >> 20} MiB`,
      advice,
    });
  }
  const parts = Math.ceil(base64.length / PART_CHARACTERS);
  return succeed(
    Array.from({ length: parts }, (_, part) => ({
      type: 'piece' as const,
      act: 'file' as const,
      upload,
      name: name.slice(0, LIMITS.name),
      bytes,
      part,
      parts,
      data: base64.slice(part * PART_CHARACTERS, (part + 1) * PART_CHARACTERS),
    })),
  );
}

/** A file that has arrived whole, still in base64. */
export interface ArrivedFile {
  readonly name: string;
  readonly bytes: number;
  readonly base64: string;
}

/**
 * Joins the parts of one viewer's file. It holds one file at a time, never more than the bound: a part 0 starts a new
 * file and drops the old one.
 */
export class FileAssembly {
  #parts: string[] = [];
  #first: FilePart | undefined;

  /**
   * Takes the next part. Undefined until the last one.
   *
   * Fails with `FILE_ORDER` if it isn't the next part of the same file, and with `FILE_SIZE` if the parts don't add up
   * to the announced size; the assembly is empty then.
   */
  take(message: FilePart): Outcome<ArrivedFile | undefined> {
    if (message.part === 0) {
      this.#parts = [];
      this.#first = message;
    }
    const first = this.#first;
    const continues =
      first !== undefined &&
      message.part === this.#parts.length &&
      message.part < first.parts &&
      message.upload === first.upload &&
      message.parts === first.parts &&
      message.bytes === first.bytes;
    if (!continues) return this.#refuse('FILE_ORDER', 'a part of the file is missing or came twice');
    this.#parts.push(message.data);
    if (this.#parts.length < first.parts) return succeed(undefined);
    const base64 = this.#parts.join('');
    if (toBytes(base64) !== first.bytes)
      return this.#refuse('FILE_SIZE', 'the file is not as long as announced');
    this.#clear();
    return succeed({ name: first.name, bytes: first.bytes, base64 });
  }

  #refuse(code: ErrorCode, message: string): Outcome<undefined> {
    this.#clear();
    return fail({ code, message, advice: 'Drop the file on the page again.' });
  }

  #clear(): void {
    this.#parts = [];
    this.#first = undefined;
  }
}

/** How many bytes a base64 text encodes, or -1 if it has padding inside. */
function toBytes(base64: string): number {
  const padding = base64.endsWith('==') ? 2 : base64.endsWith('=') ? 1 : 0;
  const inside = base64.indexOf('=');
  if (inside >= 0 && inside < base64.length - padding) return -1;
  return (base64.length / 4) * 3 - padding;
}
