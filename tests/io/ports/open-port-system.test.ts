import { describe, expect, test } from 'vitest';
import { LeewayError } from '../../../src/io/leeway-error.js';
import { diagnose } from '../../../src/io/ports/index.js';
import { openPortSystem, type PortEnvironment } from '../../../src/io/ports/open-port-system.js';
import { FakeMachine } from '../../support/fake-ports.js';

/** A library that works as far as it goes here: it can be made and destroyed. */
class Idle {
  static destroyed = 0;
  destroy(): void {
    Idle.destroyed++;
  }
}
class Refusing {
  constructor() {
    throw new Error('Failed to initialise RtMidi');
  }
}
const load = (one: unknown): PortEnvironment['load'] => {
  return async () => ({ Input: one, Output: one }) as unknown as Awaited<ReturnType<PortEnvironment['load']>>;
};
const withCode = (code: string, message: string) => Object.assign(new Error(message), { code });
const thrower = (error: Error) => () => {
  throw error;
};
const WORKING: PortEnvironment = { platform: 'linux', load: load(Idle), probe: () => {} };

/** What opening fails with. */
async function failure(environment: PortEnvironment): Promise<LeewayError> {
  const error = await openPortSystem(environment).catch((thrown: unknown) => thrown);
  expect(error).toBeInstanceOf(LeewayError);
  return error as LeewayError;
}

describe('opening the port system where something is missing:', () => {
  const fails = (code: string, words: string) => ({ load: () => Promise.reject(withCode(code, words)) });
  const lacks = (code: string) => ({ probe: thrower(withCode(code, 'gone')) });
  const noAsound = 'libasound.so.2: cannot open shared object file: No such file or directory';
  const refusing = { load: load(Refusing) };
  const onMac = { ...refusing, platform: 'darwin' as const };
  const packages = /apt install libasound2.*dnf.*pacman/;
  test.each([
    ['no libasound', fails('ERR_DLOPEN_FAILED', noAsound), 'MIDI_LIBRARY', packages],
    ['no package', fails('ERR_MODULE_NOT_FOUND', 'Cannot find package'), 'MIDI_LIBRARY', /npm ci/],
    ['another machine’s build', fails('ERR_DLOPEN_FAILED', 'invalid ELF header'), 'MIDI_LIBRARY', /compiler/],
    ['no device file', lacks('ENOENT'), 'MIDI_NO_SEQUENCER', /modprobe snd-seq/],
    ['no module behind it', lacks('ENODEV'), 'MIDI_NO_SEQUENCER', /modprobe/],
    ['not allowed', lacks('EACCES'), 'MIDI_PERMISSION', /usermod -aG audio/],
    ['a library that refuses', refusing, 'MIDI_NO_SEQUENCER', /modprobe/],
    ['a library that refuses elsewhere', onMac, 'MIDI_NO_SEQUENCER', /restart the computer/],
  ])('the missing part is named with how to get it: %s', async (_, missing, code, advice) => {
    const error = await failure({ ...WORKING, ...missing });
    expect(error).toMatchObject({ code, exitCode: 3 });
    expect(error.advice).toMatch(advice);
    expect(error.cause).toBeInstanceOf(Error);
  });
});

test('the sequencer is asked for on Linux only', async () => {
  const probe = thrower(withCode('ENOENT', 'gone'));
  const ports = await openPortSystem({ ...WORKING, platform: 'darwin', probe });
  expect(ports.virtualPorts).toBe(true);
  ports.close();
});

test('Windows has no virtual ports, which is known before one is made', async () => {
  const ports = await openPortSystem({ ...WORKING, platform: 'win32' });
  expect(ports.virtualPorts).toBe(false);
  const before = Idle.destroyed;
  expect(() => ports.createOutput('Leeway')).toThrow(
    expect.objectContaining({ code: 'NO_VIRTUAL_PORTS', advice: expect.stringContaining('loop-back') }),
  );
  expect(Idle.destroyed).toBe(before + 1);
  ports.close();
});

describe('diagnose', () => {
  test('opens the ports and finds nothing missing', async () => {
    const ports = new FakeMachine().openPorts();
    expect(await diagnose(async () => ports)).toEqual({ system: ports, missing: [] });
  });

  test('reports what is missing where ports open all the same', async () => {
    const ports = new FakeMachine().openPorts({ virtualPorts: false });
    const { system, missing } = await diagnose(async () => ports, 'win32');
    expect(system).toBe(ports);
    expect(missing).toMatchObject([{ code: 'NO_VIRTUAL_PORTS' }]);
  });

  test('reports why ports do not open', async () => {
    const open = () => openPortSystem({ ...WORKING, probe: thrower(withCode('ENOENT', 'gone')) });
    expect(await diagnose(open)).toMatchObject({
      system: undefined,
      missing: [{ code: 'MIDI_NO_SEQUENCER' }],
    });
  });

  test('passes an internal error on', async () => {
    await expect(diagnose(() => Promise.reject(new TypeError('ours')))).rejects.toThrow('ours');
  });
});

test('the MIDI library loads here, and reports what it finds', async () => {
  const { system, missing } = await diagnose();
  // A desktop has a sequencer, a container has none: both are said plainly.
  const codes = missing.map(({ code }) => code);
  if (system === undefined)
    expect(codes).toEqual([expect.stringMatching(/^MIDI_(NO_SEQUENCER|PERMISSION|LIBRARY)$/)]);
  else {
    expect(system.list().inputs).toEqual(expect.any(Array));
    system.close();
  }
});
