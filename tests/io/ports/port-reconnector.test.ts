import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LeewayError } from '../../../src/io/leeway-error.js';
import { PortReconnector, type WantedPort } from '../../../src/io/ports/index.js';
import { FakeMachine } from '../../support/fake-ports.js';
import { forAll } from '../../support/properties.js';
import { ReconnectorLog } from '../../support/reconnector-log.js';

const LOOK_MS = 250;
const KEYS: WantedPort = { direction: 'input', name: 'Keys', own: false };
const SYNTH: WantedPort = { direction: 'output', name: 'Synth', own: false };

function setUp(wanted: readonly WantedPort[], options: { virtualPorts?: boolean } = {}) {
  const machine = new FakeMachine();
  const ports = machine.openPorts(options);
  const log = new ReconnectorLog();
  const reconnector = new PortReconnector(ports, wanted, log);
  let nowMs = 1000;
  /** Looks so many times and gives what was told. */
  const look = (times = 1): string[] => {
    for (let i = 0; i < times; i++) {
      reconnector.look(nowMs);
      nowMs += LOOK_MS;
    }
    return log.take();
  };
  const jump = (ms: number): void => {
    nowMs += ms;
  };
  return { machine, ports, log, reconnector, look, jump, now: () => nowMs };
}

test('a port reconnector opens existing ports at its first look, inputs first', () => {
  const { machine, look, log } = setUp([SYNTH, KEYS]);
  const synth = machine.plugSynth('Synth');
  const keys = machine.plugKeys('Keys');
  expect(look()).toEqual(['opened input Keys', 'opened output Synth']);
  expect(look(5)).toEqual([]);
  keys.feed(0x90, 60, 64);
  log.outputs.get(SYNTH)?.send(Uint8Array.of(0x90, 60, 64));
  expect([log.heard, synth.messages]).toEqual([[[0x90, 60, 64]], [[0x90, 60, 64]]]);
});

test('a port reconnector reports a missing port once, and opens it when two looks have seen it', () => {
  const { machine, look } = setUp([KEYS, SYNTH]);
  expect(look(3)).toEqual(['waiting input Keys: PORT_MISSING', 'waiting output Synth: PORT_MISSING']);
  machine.plugKeys('Keys');
  expect(look()).toEqual([]);
  expect(look()).toEqual(['opened input Keys']);
});

test('a port reconnector leaves alone what appears for one look only', () => {
  const { machine, look, ports } = setUp([KEYS]);
  look();
  for (let i = 0; i < 3; i++) {
    const keys = machine.plugKeys('Keys');
    expect(look()).toEqual([]);
    keys.unplug();
    expect(look()).toEqual([]);
  }
  expect(ports.openLinks).toBe(0);
});

test('a port reconnector reports and closes a port that goes, and opens it again after its return', () => {
  const { machine, look, log, ports, reconnector } = setUp([KEYS]);
  const keys = machine.plugKeys('Keys');
  look();
  expect(reconnector.placeOf(KEYS)).toEqual({ name: 'Keys', occurrence: 1 });
  keys.unplug();
  expect(look(4)).toEqual(['lost input Keys']);
  expect([ports.openLinks, keys.listeners, reconnector.placeOf(KEYS)]).toEqual([0, 0, undefined]);
  const again = machine.plugKeys('Keys');
  expect(look(3)).toEqual(['opened input Keys']);
  again.feed(0xf8);
  expect(log.heard).toEqual([[0xf8]]);
});

test('a port reconnector notices a replug between two looks', () => {
  const { machine, look, log } = setUp([KEYS]);
  const keys = machine.plugKeys('Keys');
  look();
  keys.unplug();
  const again = machine.plugKeys('Keys');
  expect(look(3)).toEqual(['lost input Keys', 'opened input Keys']);
  again.feed(0xf8);
  expect(log.heard).toEqual([[0xf8]]);
});

describe('two devices of one name', () => {
  const FIRST: WantedPort = { ...SYNTH, name: 'Synth #1' };
  const SECOND: WantedPort = { ...SYNTH, name: 'Synth #2' };

  test('are distinguished by number, and the second stays connected when the first goes', () => {
    const { machine, look, log, reconnector } = setUp([FIRST, SECOND]);
    const [one, two] = [machine.plugSynth('Synth'), machine.plugSynth('Synth')];
    expect(look()).toEqual(['opened output Synth', 'opened output Synth #2']);
    one.unplug();
    expect(look()).toEqual(['lost output Synth']);
    expect(reconnector.placeOf(SECOND)).toEqual({ name: 'Synth', occurrence: 1 });
    log.outputs.get(SECOND)?.send(Uint8Array.of(0xf8));
    expect(two.messages).toEqual([[0xf8]]);
  });

  test('are ambiguous without a number, which is reported once', () => {
    const { machine, look } = setUp([SYNTH]);
    machine.plugSynth('Synth');
    const two = machine.plugSynth('Synth');
    expect(look(3)).toEqual(['waiting output Synth: PORT_AMBIGUOUS']);
    two.unplug();
    expect(look(2)).toEqual(['opened output Synth']);
    machine.plugSynth('Synth');
    expect(look(3)).toEqual([]);
  });

  test('change numbers when the first is replugged at once, and both are open', () => {
    const { machine, look, log } = setUp([FIRST, SECOND]);
    const [one, two] = [machine.plugSynth('Synth'), machine.plugSynth('Synth')];
    look();
    one.unplug();
    const again = machine.plugSynth('Synth');
    expect(look(3)).toEqual(['lost output Synth', 'opened output Synth #2']);
    for (const link of log.outputs.values()) link.send(Uint8Array.of(0xf8));
    expect([two.messages, again.messages]).toEqual([[[0xf8]], [[0xf8]]]);
  });

  test.each([
    [KEYS, 'key'],
    [SYNTH, 'synt'],
  ])('refuse a second name for one port, %j', (port, name) => {
    const { machine, look, ports } = setUp([port, { ...port, name }]);
    machine.plugKeys('Keys');
    machine.plugSynth('Synth');
    expect(look(3)).toEqual([
      `opened ${port.direction} ${port.name}`,
      `failed ${port.direction} ${name}: PORT_TWICE`,
    ]);
    expect(ports.openLinks).toBe(1);
  });
});

describe('a busy port', () => {
  test('is reported once and tried ever more rarely, at most 4 s apart', () => {
    const { machine, look, ports, now } = setUp([SYNTH]);
    const synth = machine.plugSynth('Synth');
    synth.busy = true;
    const tries: number[] = [];
    const open = ports.openOutput.bind(ports);
    ports.openOutput = (place) => {
      tries.push(now());
      return open(place);
    };
    expect(look(80)).toEqual(['failed output Synth: PORT_BUSY']);
    const gaps = tries.slice(1).map((at, i) => at - tries[i]);
    expect(gaps).toEqual([250, 500, 1000, 2000, 4000, 4000, 4000, 4000]);
    synth.busy = false;
    expect(look(17)).toEqual(['opened output Synth']);
  });

  test('is tried again soon after it was away', () => {
    const { machine, look } = setUp([SYNTH]);
    const synth = machine.plugSynth('Synth');
    synth.busy = true;
    look(40);
    synth.unplug();
    expect(look()).toEqual(['waiting output Synth: PORT_MISSING']);
    machine.plugSynth('Synth');
    expect(look(2)).toEqual(['opened output Synth']);
  });

  test('is not delayed for ever by a clock that jumps back', () => {
    const { machine, look, jump } = setUp([SYNTH]);
    jump(1e9);
    const synth = machine.plugSynth('Synth');
    synth.busy = true;
    look(30);
    synth.busy = false;
    jump(-1e9);
    expect(look(17)).toEqual(['opened output Synth']);
  });
});

describe('a virtual port', () => {
  const OWN_IN: WantedPort = { direction: 'input', name: 'Leeway', own: true };
  const OWN_OUT: WantedPort = { direction: 'output', name: 'Leeway', own: true };

  test('is made only once', () => {
    const { look, ports, log } = setUp([OWN_OUT, OWN_IN]);
    expect(look(10)).toEqual(['opened input Leeway', 'opened output Leeway']);
    expect(ports.openLinks).toBe(2);
    ports.ownInputs.get('Leeway')?.receive(Uint8Array.of(0xf8));
    log.outputs.get(OWN_OUT)?.send(Uint8Array.of(0xfa));
    expect([log.heard, ports.ownOutputs.get('Leeway')?.messages]).toEqual([[[0xf8]], [[0xfa]]]);
  });

  test('is reported once where it cannot be made', () => {
    const { look } = setUp([OWN_IN], { virtualPorts: false });
    expect(look(50)).toEqual(['failed input Leeway: NO_VIRTUAL_PORTS']);
  });

  test('is refused as the other end of a cycle', () => {
    const { look } = setUp([OWN_IN, { ...SYNTH, name: 'leeway' }]);
    expect(look(5)).toEqual(['opened input Leeway', 'failed output leeway: PORT_CYCLE']);
  });

  test("is no cycle where another program's port has that name", () => {
    const { machine, look } = setUp([OWN_IN, { ...SYNTH, name: 'Leeway' }]);
    machine.plugSynth('Leeway');
    expect(look(5)).toEqual(['opened input Leeway', 'opened output Leeway']);
  });
});

test('the pass-through port in both directions is a cycle', () => {
  const through = 'Midi Through:Midi Through Port-0';
  const { machine, look } = setUp([
    { ...KEYS, name: 'through' },
    { ...SYNTH, name: 'through' },
  ]);
  machine.plugKeys(through);
  machine.plugSynth(through);
  expect(look(3)).toEqual([`opened input ${through}`, 'failed output through: PORT_CYCLE']);
});

test('a device that plays and is played is no cycle', () => {
  const { machine, look } = setUp([
    { ...KEYS, name: 'Piano' },
    { ...SYNTH, name: 'Piano' },
  ]);
  machine.plugKeys('Piano');
  machine.plugSynth('Piano');
  expect(look()).toEqual(['opened input Piano', 'opened output Piano']);
});

describe('dropping a port', () => {
  const refused = new LeewayError({ code: 'PORT_SEND', message: 'Refused.', advice: 'Try again.' });

  test('closes and reports it, and opens it again after a while', () => {
    const { machine, look, reconnector, ports, log, now } = setUp([SYNTH]);
    machine.plugSynth('Synth');
    look();
    reconnector.drop(SYNTH, refused, now());
    reconnector.drop(SYNTH, refused, now());
    expect(log.take()).toEqual(['failed output Synth: PORT_SEND']);
    expect(ports.openLinks).toBe(0);
    expect(look(3)).toEqual(['opened output Synth']);
  });

  test('repeatedly waits longer each time', () => {
    const { machine, look, reconnector, log, now } = setUp([SYNTH]);
    machine.plugSynth('Synth');
    look();
    const looks: number[] = [];
    for (let i = 0; i < 5; i++) {
      reconnector.drop(SYNTH, refused, now());
      log.take();
      let count = 0;
      while (look().length === 0) count++;
      looks.push(count);
    }
    expect(looks).toEqual([1, 2, 4, 8, 16]);
  });
});

describe('a port reconnector when something fails:', () => {
  test('a list that fails is reported, open ports stay open, and it recovers', () => {
    const { machine, look, ports, log } = setUp([KEYS, SYNTH]);
    const keys = machine.plugKeys('Keys');
    look();
    ports.listFault = new Error('the server went away');
    expect(look(5)).toEqual(['failed output Synth: PORT_FAILED']);
    keys.feed(0xf8);
    expect(log.heard).toEqual([[0xf8]]);
    ports.listFault = undefined;
    machine.plugSynth('Synth');
    expect(look(2)).toEqual(['opened output Synth']);
  });

  test('a foreign error is reported as PORT_FAILED', () => {
    const { machine, look, ports } = setUp([SYNTH]);
    machine.plugSynth('Synth');
    ports.openOutput = () => {
      throw new TypeError('odd');
    };
    expect(look(5)).toEqual(['failed output Synth: PORT_FAILED']);
  });

  test('a listener that throws stops nothing, and is counted', () => {
    const { machine, look, reconnector, log, ports } = setUp([KEYS, SYNTH]);
    machine.plugKeys('Keys');
    machine.plugSynth('Synth');
    log.opened = () => {
      throw new RangeError('ours');
    };
    look(3);
    expect(ports.openLinks).toBe(2);
    expect(reconnector.faults).toEqual([expect.any(RangeError), expect.any(RangeError)]);
  });

  test('closing closes all ports once, and nothing is opened after it', () => {
    const { machine, look, reconnector, ports } = setUp([KEYS, SYNTH]);
    machine.plugKeys('Keys');
    look();
    reconnector.close();
    reconnector.close();
    machine.plugSynth('Synth');
    expect(look(3)).toEqual([]);
    expect(ports.openLinks).toBe(0);
  });

  test('the reconnector may be closed by its listener', () => {
    const { machine, look, reconnector, log, ports } = setUp([KEYS, SYNTH]);
    machine.plugKeys('Keys');
    machine.plugSynth('Synth');
    log.opened = () => reconnector.close();
    look(3);
    expect(ports.openLinks).toBe(0);
  });
});

test('after any plugging, all existing ports are open once, and each change was reported once', () => {
  const NAMES = ['A', 'B', 'B'];
  const act = fc.record({
    device: fc.nat({ max: 2 }),
    kind: fc.constantFrom('plug', 'unplug', 'busy', 'look', 'look'),
  });
  forAll([fc.array(act, { maxLength: 60 })], 300, (acts) => {
    const wanted = ['A', 'B #1', 'B #2'].map((name): WantedPort => ({ ...SYNTH, name }));
    const { machine, look, ports, log } = setUp(wanted);
    const devices: (ReturnType<typeof machine.plugSynth> | undefined)[] = [undefined, undefined, undefined];
    const told: string[] = [];
    for (const { device, kind } of acts) {
      const synth = devices[device];
      if (kind === 'look') told.push(...look());
      else if (kind === 'plug' && synth === undefined) devices[device] = machine.plugSynth(NAMES[device]);
      else if (kind === 'busy' && synth !== undefined) synth.busy = !synth.busy;
      else if (kind === 'unplug' && synth !== undefined) {
        synth.unplug();
        devices[device] = undefined;
      }
    }
    const there = devices.filter((synth) => synth !== undefined);
    for (const synth of there) synth.busy = false;
    told.push(...look(20));
    expect(look(20)).toEqual([]);
    const opened = told.filter((line) => line.startsWith('opened')).length;
    const lost = told.filter((line) => line.startsWith('lost')).length;
    expect(ports.openLinks).toBe(opened - lost);
    expect(log.outputs.size).toBe(opened - lost);
    for (const [i, link] of [...log.outputs.values()].entries()) link.send(Uint8Array.of(0xc0, i));
    const received = there.flatMap((synth) => synth.messages);
    expect(received).toHaveLength(log.outputs.size);
    if (devices[0] !== undefined) expect(devices[0].messages).toHaveLength(1);
    if (devices[1] !== undefined && devices[2] !== undefined) {
      expect([devices[1].messages, devices[2].messages].map((m) => m.length)).toEqual([1, 1]);
    }
  });
});
