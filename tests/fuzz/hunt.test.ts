import { expect, test } from 'vitest';
import { BLOCK, hunt } from './hunt.js';
import { mutateBytes } from './mutate-bytes.js';
import { shrink } from './shrink.js';
import { must, type Target } from './target.js';

/** Goes wrong behind three doors, each of which opens only once the one before is known to open. */
const DOORS: Target = {
  name: 'doors',
  share: 0,
  first: [Uint8Array.of(0)],
  generate: (random, known) => mutateBytes(random, random.pick(known), random.pick(known)),
  check(input) {
    const at = input.indexOf(0x90);
    const open = at < 0 ? 0 : input[at + 1] !== 0x7f ? 1 : input[at + 2] !== 0xff ? 2 : 3;
    must(open < 3, () => `all doors are open at ${at}`);
    return `door ${open}`;
  },
};

test('a hunt goes on from what it finds, and shrinks a failing input to what is needed', () => {
  const { failure, cases, found } = hunt(DOORS, [], 1, 0, 200_000);
  expect(failure?.shrunk).toEqual(Uint8Array.of(0x90, 0x7f, 0xff));
  expect(cases).toBe((failure?.caseNumber ?? -1) + 1);
  expect(found.size).toBe(2);
});

test('a fuzz case is the same when it is run again alone', () => {
  const { failure } = hunt(DOORS, [], 1, 0, 200_000);
  const caseNumber = failure?.caseNumber ?? -1;
  const again = hunt(DOORS, [], 1, caseNumber, 1);
  expect(again.failure).toEqual(failure);
  const inputs: string[] = [];
  for (const from of [BLOCK, BLOCK + 5]) {
    hunt({ ...DOORS, check: () => '' }, [], 3, from, BLOCK + 8 - from, (number, input) => {
      if (number === BLOCK + 7) inputs.push(String(input));
    });
  }
  expect(inputs).toHaveLength(2);
  expect(inputs[0]).toBe(inputs[1]);
});

test('a fuzz input is shrunk only as long as it fails in the same way', () => {
  const holds = (bytes: Uint8Array) => bytes.includes(7) && bytes.includes(9);
  expect(shrink(Uint8Array.of(1, 9, 2, 3, 7, 4, 5), holds)).toEqual(Uint8Array.of(9, 7));
  expect(shrink(Uint8Array.of(1, 2, 3), () => true)).toEqual(new Uint8Array(0));
  expect(shrink(Uint8Array.of(5, 6), (bytes) => bytes.length === 2)).toEqual(Uint8Array.of(0, 0));
});
