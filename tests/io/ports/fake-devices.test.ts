import { expect, test } from 'vitest';
import { DIN_BYTES_PER_SECOND } from '../../support/fake-devices.js';
import { FakeMachine } from '../../support/fake-ports.js';

const NOTE = Uint8Array.of(0x90, 60, 64);

test('messages queue on a fake DIN cable: three bytes take 0.96 ms', () => {
  let nowMs = 0;
  const machine = new FakeMachine(() => nowMs);
  const synth = machine.plugSynth('Synth', DIN_BYTES_PER_SECOND);
  const link = machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 });
  link.send(NOTE);
  link.send(NOTE);
  expect(synth.backlogMs).toBeCloseTo(1.92);
  nowMs = 10;
  link.send(NOTE);
  expect(synth.received.map(({ sentMs }) => sentMs)).toEqual([0, 0, 10]);
  const arrived = [0.96, 1.92, 10.96];
  for (const [i, { arrivedMs }] of synth.received.entries()) expect(arrivedMs).toBeCloseTo(arrived[i]);
});

test('the n-th send to a fake synth can be refused, and the others arrive', () => {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const link = machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 });
  synth.refuses = (n) => n === 2;
  link.send(NOTE);
  expect(() => link.send(NOTE)).toThrow(expect.objectContaining({ code: 'PORT_SEND' }));
  link.send(NOTE);
  expect([synth.sends, synth.messages.length]).toEqual([3, 2]);
});

test('a fake synth that is unplugged loses what follows without an error', () => {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const link = machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 });
  synth.refuses = (n) => {
    if (n === 2) synth.unplug();
    return false;
  };
  link.send(NOTE);
  link.send(Uint8Array.of(0x80, 60, 64));
  expect(synth.messages).toEqual([[0x90, 60, 64]]);
  expect(synth.lost).toEqual([[0x80, 60, 64]]);
  expect(link.placeNow()).toBeUndefined();
});

test('a link to a fake device receives nothing after a replug', () => {
  const machine = new FakeMachine();
  const ports = machine.openPorts();
  const heard: number[] = [];
  machine.plugKeys('Keys').unplug();
  const first = machine.plugKeys('Keys');
  const link = ports.openInput({ name: 'Keys', occurrence: 1 }, (bytes) => heard.push(...bytes));
  first.unplug();
  machine.plugKeys('Keys').feed(0xf8);
  first.feed(0xfa);
  expect(heard).toEqual([]);
  expect([link.placeNow(), ports.list().inputs.length]).toEqual([undefined, 1]);
});

test('a busy fake device is listed, and refuses to open', () => {
  const machine = new FakeMachine();
  machine.plugKeys('Keys').busy = true;
  machine.plugSynth('Synth').busy = true;
  const ports = machine.openPorts();
  const [[keys], [synth]] = [ports.list().inputs, ports.list().outputs];
  expect(() => ports.openInput(keys, () => {})).toThrow(expect.objectContaining({ code: 'PORT_BUSY' }));
  expect(() => ports.openOutput(synth)).toThrow(expect.objectContaining({ code: 'PORT_BUSY' }));
  expect(ports.openLinks).toBe(0);
});

test('a fake system without virtual ports makes none', () => {
  const ports = new FakeMachine().openPorts({ virtualPorts: false });
  for (const act of [() => ports.createOutput('Leeway'), () => ports.createInput('Leeway', () => {})]) {
    expect(act).toThrow(expect.objectContaining({ code: 'NO_VIRTUAL_PORTS' }));
  }
});

test('a test can use the other end of virtual ports', () => {
  const ports = new FakeMachine().openPorts();
  const heard: number[][] = [];
  ports.createInput('Leeway', (bytes) => heard.push([...bytes]));
  ports.ownInputs.get('Leeway')?.receive(NOTE);
  ports.createOutput('Leeway').send(NOTE);
  expect(heard).toEqual([[0x90, 60, 64]]);
  expect(ports.ownOutputs.get('Leeway')?.messages).toEqual([[0x90, 60, 64]]);
});
