import { describe, expect, test } from 'vitest';
import { LibraryPortSystem } from '../../../src/io/ports/library-port-system.js';
import { FakeLibrary } from '../../support/fake-library.js';

const KEYS = { name: 'Keys', occurrence: 1 };
const SYNTH = { name: 'Synth', occurrence: 1 };
const error = (code: string) => expect.objectContaining({ code });

function setUp(platform: NodeJS.Platform = 'linux') {
  const fake = new FakeLibrary();
  return { fake, ports: new LibraryPortSystem(fake.library, platform) };
}

test('a port is found again under another number', () => {
  const { fake, ports } = setUp();
  fake.outputs = [{ name: 'Synth 24:0' }];
  expect(ports.list().outputs).toEqual([SYNTH]);
  const link = ports.openOutput(SYNTH);
  expect(link.placeNow()).toEqual(SYNTH);
  fake.outputs = [{ name: 'Synth 28:0' }];
  expect(ports.list().outputs).toEqual([SYNTH]);
  expect(link.placeNow()).toBeUndefined();
});

test('a refusal to open an existing port is PORT_BUSY, and leaves nothing open', () => {
  const { fake, ports } = setUp();
  fake.inputs = [{ name: 'Keys 20:0', busy: true }];
  fake.outputs = [{ name: 'Synth 24:0', busy: true }];
  const before = fake.alive;
  expect(() => ports.openInput(KEYS, () => {})).toThrow(error('PORT_BUSY'));
  expect(() => ports.openOutput(SYNTH)).toThrow(error('PORT_BUSY'));
  expect(fake.alive).toBe(before);
});

test('a port whose index now means another port is not opened', () => {
  const { fake, ports } = setUp();
  fake.outputs = [{ name: 'Module 20:0' }, { name: 'Synth 24:0' }, { name: 'Drums 28:0' }];
  let reads = 0;
  // After the three outputs were listed, the first of them goes.
  fake.onRead = () => {
    if (++reads === 4) fake.outputs.shift();
  };
  const before = fake.alive;
  expect(() => ports.openOutput(SYNTH)).toThrow(error('PORT_MISSING'));
  expect([reads, fake.alive]).toEqual([4, before]);
});

test('a port that goes while names are read is left out, and the others keep their index', () => {
  const { fake, ports } = setUp();
  fake.outputs = [{ name: '' }, { name: 'Synth 24:0' }];
  expect(ports.list().outputs).toEqual([SYNTH]);
  expect(ports.openOutput(SYNTH).placeNow()).toEqual(SYNTH);
});

describe('virtual ports', () => {
  test('are left out of the list, and ports of other programs with that name are not', () => {
    const { fake, ports } = setUp();
    fake.toListed = (name) => `RtMidi Output Client:${name} 130:0`;
    fake.inputs = [{ name: 'Other:Leeway 129:0' }];
    const link = ports.createOutput('Leeway');
    expect(ports.list().inputs).toEqual([{ name: 'Other:Leeway', occurrence: 1 }]);
    link.close();
    fake.inputs.push({ name: 'RtMidi Output Client:Leeway 130:0' });
    expect(ports.list().inputs).toHaveLength(2);
  });

  test('are the newest of equal names, where names have no number', () => {
    const { fake, ports } = setUp('darwin');
    fake.inputs = [{ name: 'Leeway' }];
    const link = ports.createOutput('Leeway');
    expect([fake.inputs.length, ports.list().inputs]).toEqual([2, [{ name: 'Leeway', occurrence: 1 }]]);
    expect(link.placeNow()).toEqual({ name: 'Leeway', occurrence: 1 });
  });

  test('are reported if they cannot be made, and leave nothing open', () => {
    const { fake, ports } = setUp();
    fake.refusesOwn = true;
    const before = fake.alive;
    expect(() => ports.createInput('Leeway', () => {})).toThrow(error('NO_VIRTUAL_PORTS'));
    expect(fake.alive).toBe(before);
  });
});

test('the ends of open links are left out on ALSA only, which lists them', () => {
  const ends = [{ name: 'RtMidi Output Client:RtMidi Output 131:0' }];
  const { fake, ports } = setUp();
  fake.inputs = ends;
  expect(ports.list().inputs).toEqual([]);
  const mac = setUp('darwin');
  mac.fake.inputs = ends;
  expect(mac.ports.list().inputs).toHaveLength(1);
});

test('closing the port system destroys everything once', () => {
  const { fake, ports } = setUp();
  fake.inputs = [{ name: 'Keys 20:0' }];
  ports.openInput(KEYS, () => {});
  ports.createInput('Leeway', () => {});
  ports.createOutput('Leeway');
  expect(fake.alive).toBe(5);
  ports.close();
  ports.close();
  expect(fake.alive).toBe(0);
});

test('a link that was cut is gone, though its far end has its old number again', () => {
  const fake = new FakeLibrary();
  const connections = new Set(['24:0>130:0', '131:0>28:0']);
  const ports = new LibraryPortSystem(fake.library, 'linux', () => new Set(connections));
  fake.inputs = [{ name: 'Keys 24:0' }];
  fake.outputs = [{ name: 'Synth 28:0' }];
  fake.onOpen = (list) => {
    if (list === fake.inputs) fake.outputs.push({ name: 'RtMidi Input Client:RtMidi Input 130:0' });
    else fake.inputs.push({ name: 'RtMidi Output Client:RtMidi Output 131:0' });
  };
  const input = ports.openInput(KEYS, () => {});
  const output = ports.openOutput(SYNTH);
  ports.list();
  expect([input.placeNow(), output.placeNow()]).toEqual([KEYS, SYNTH]);
  connections.delete('24:0>130:0');
  ports.list();
  expect([input.placeNow(), output.placeNow()]).toEqual([undefined, SYNTH]);
  connections.delete('131:0>28:0');
  ports.list();
  expect([input.placeNow(), output.placeNow()]).toEqual([undefined, undefined]);
});

test('the name decides whether a link is open where connections are unknown', () => {
  const fake = new FakeLibrary();
  const ports = new LibraryPortSystem(fake.library, 'linux', () => undefined);
  fake.inputs = [{ name: 'Keys 24:0' }];
  fake.onOpen = () => fake.outputs.push({ name: 'RtMidi Input Client:RtMidi Input 130:0' });
  const link = ports.openInput(KEYS, () => {});
  ports.list();
  expect(link.placeNow()).toEqual(KEYS);
});
