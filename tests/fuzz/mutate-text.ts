import { mutateBytes } from './mutate-bytes.js';
import type { Random } from './random.js';

const encoder = new TextEncoder();

/** A text as an input. */
export function toBytes(text: string): Uint8Array {
  return encoder.encode(text);
}

/** An input as a text; what is no UTF-8 becomes U+FFFD. */
export function toText(bytes: Uint8Array): string {
  return new TextDecoder().decode(bytes);
}

/**
 * Changes a text by its lines and words: taken out, doubled, put elsewhere, swapped for words that may stand there; now and
 * then byte by byte.
 *
 * @param words that mean something to the reader
 */
export function mutateText(
  random: Random,
  input: Uint8Array,
  other: Uint8Array,
  words: readonly string[],
): Uint8Array {
  if (random.oneIn(5)) return mutateBytes(random, input, other);
  // Blanks and signs are pieces as well, so that put together they give the text again.
  const pieces = split(toText(input));
  const others = split(toText(other));
  for (let changes = 1 + random.few(6); changes > 0; changes--) {
    const at = random.below(pieces.length + 1);
    switch (random.below(7)) {
      case 0:
        pieces.splice(at, 1, random.pick(words));
        break;
      case 1:
        pieces.splice(at, 0, random.pick(words));
        break;
      case 2:
        pieces.splice(at, 1 + random.few(8));
        break;
      case 3:
        pieces.splice(at, 0, ...pieces.slice(at, at + 1 + random.below(12)));
        break;
      case 4: {
        const from = random.below(others.length);
        pieces.splice(at, random.few(3), ...others.slice(from, from + 1 + random.below(12)));
        break;
      }
      case 5:
        pieces.splice(
          at,
          1,
          String(random.pick([0, -1, 1, 127, 128, 1e9, 1e21, 0.1, 5e-324, random.below(1000)])),
        );
        break;
      case 6: {
        const swapped = random.below(pieces.length);
        [pieces[at], pieces[swapped]] = [pieces[swapped] ?? '', pieces[at] ?? ''];
        break;
      }
    }
  }
  return toBytes(pieces.join(''));
}

const split = (text: string): string[] => text.match(/[\p{L}\p{N}_.-]+|\s+|./gsu) ?? [];
