import { expect, test } from 'vitest';
import { LibraryPortSystem } from '../../../src/io/ports/library-port-system.js';
import { RefusedPorts } from '../../../src/io/ports/refused-ports.js';
import { FakeLibrary } from '../../support/fake-library.js';

/** How often a refused port is left alone when it is asked for so many times, each as in vain as before. */
function countRests(refused: RefusedPorts, asks: number): number {
  let rests = 0;
  for (let i = 0; i < asks; i++) {
    if (refused.has('Synth')) rests++;
    else refused.add('Synth');
  }
  return rests;
}

test.each([
  ['stays the same', () => 'a', 56],
  ["can't be seen", () => undefined, 45],
])('a refused port is tried again now and then where the use of MIDI devices %s', (_, readUse, rests) => {
  const refused = new RefusedPorts(readUse);
  refused.add('Synth');
  expect(countRests(refused, 60)).toBe(rests);
});

test('a refused port is tried again as soon as the use of MIDI devices has changed', () => {
  let use = 'card0/midi0: 4711';
  const refused = new RefusedPorts(() => use);
  refused.add('Synth');
  expect([refused.has('Synth'), refused.has('Keys')]).toEqual([true, false]);
  use = 'card0/midi0:';
  expect(refused.has('Synth')).toBe(false);
});

test('a refused port is forgotten when it goes', () => {
  const refused = new RefusedPorts(() => '');
  refused.add('Synth');
  refused.keep(['Keys']);
  expect(refused.has('Synth')).toBe(false);
});

test('a busy port costs the library one refusal while another program holds it, and opens when it is released', () => {
  const fake = new FakeLibrary();
  let use = 'card0/midi0: 4711';
  const ports = new LibraryPortSystem(fake.library, 'linux', undefined, () => use);
  const synth = { name: 'Synth', occurrence: 1 };
  const port = { name: 'Synth 24:0', busy: true };
  fake.outputs = [port];
  for (let i = 0; i < 10; i++)
    expect(() => ports.openOutput(synth)).toThrow(expect.objectContaining({ code: 'PORT_BUSY' }));
  expect([fake.refusals, fake.alive]).toEqual([1, 2]);
  port.busy = false;
  use = 'card0/midi0:';
  expect(ports.openOutput(synth).placeNow()).toEqual(synth);
  expect(fake.refusals).toBe(1);
});
