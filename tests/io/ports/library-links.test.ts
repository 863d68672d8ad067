import { describe, expect, test } from 'vitest';
import { LibraryPortSystem } from '../../../src/io/ports/library-port-system.js';
import { FakeLibrary } from '../../support/fake-library.js';
import { countedSysex } from '../../support/port-contract.js';

function openOutput(platform: NodeJS.Platform) {
  const fake = new FakeLibrary();
  const link = new LibraryPortSystem(fake.library, platform).createOutput('Leeway');
  return { fake, link };
}

describe('a long SysEx', () => {
  test.each([
    [1023, [1023]],
    [1024, [1024]],
    [1025, [1024, 1]],
    [5000, [1024, 1024, 1024, 1024, 904]],
  ])('of %i bytes goes to ALSA in pieces of %j', (length, pieces) => {
    const { fake, link } = openOutput('linux');
    const message = countedSysex(length);
    link.send(Uint8Array.from(message));
    expect(fake.sent.map((piece) => piece.length)).toEqual(pieces);
    expect(fake.sent.flat()).toEqual(message);
  });

  test('goes out whole elsewhere', () => {
    const { fake, link } = openOutput('darwin');
    link.send(Uint8Array.from(countedSysex(5000)));
    expect(fake.sent).toEqual([countedSysex(5000)]);
  });

  test('may lie within a larger array', () => {
    const { fake, link } = openOutput('linux');
    const message = countedSysex(1500);
    link.send(Uint8Array.from([1, 2, ...message, 3]).subarray(2, 1502));
    expect(fake.sent.flat()).toEqual(message);
  });
});

test('short messages of each length go out as they are', () => {
  const { fake, link } = openOutput('linux');
  const messages = [[0xf8], [0xc0, 5], [0x90, 60, 64], [0xf0, 0xf7], [0xf6], [0x90, 61, 1]];
  for (const message of messages) link.send(Uint8Array.from(message));
  expect(fake.sent).toEqual(messages);
});

test('a refusal is PORT_SEND with its cause, and the next message goes out', () => {
  const { fake, link } = openOutput('linux');
  fake.refuses = true;
  expect(() => link.send(Uint8Array.of(0xf8))).toThrow(
    expect.objectContaining({ code: 'PORT_SEND', cause: expect.any(Error) }),
  );
  fake.refuses = false;
  link.send(Uint8Array.of(0xfa));
  expect(fake.sent).toEqual([[0xfa]]);
});
