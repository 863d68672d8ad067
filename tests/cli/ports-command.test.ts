import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { LeewayError } from '../../src/io/leeway-error.js';
import type { PortSystem } from '../../src/io/ports/index.js';
import { FakeMachine, type FakePorts } from '../support/fake-ports.js';
import { runCli } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();

function setUp(options: { virtualPorts?: boolean } = {}) {
  const machine = new FakeMachine();
  for (const name of ['Stage Piano:Stage Piano MIDI 1', 'Pads']) machine.plugKeys(name);
  for (const name of ['Synth', 'Synth', 'Module']) machine.plugSynth(name);
  const opened: FakePorts[] = [];
  const openPorts = async (): Promise<PortSystem> => {
    const ports = machine.openPorts(options);
    opened.push(ports);
    return ports;
  };
  const run = (...argv: string[]) => runCli(['ports', ...argv], { openPorts });
  return { machine, opened, run };
}

const nothingThere = (): Promise<PortSystem> =>
  Promise.reject(
    new LeewayError(
      { code: 'MIDI_NO_SEQUENCER', message: 'There is none.', advice: 'Load it: sudo modprobe snd-seq.' },
      { exitCode: 3 },
    ),
  );

test('ports lists existing, virtual and wanted ports, and closes the port system', async () => {
  const { run, opened } = setUp();
  const { code, out, err } = await run(
    '--in',
    'piano',
    '--in',
    'Organ',
    '--out',
    'synth',
    '--virtual-out',
    'Mine',
  );
  expect([code, err]).toEqual([0, '']);
  expect(out.split('\n')).toEqual([
    'in      Stage Piano:Stage Piano MIDI 1',
    '        Pads',
    'out     Synth',
    '        Synth #2',
    '        Module',
    'ours    out "Mine": made while playing',
    'wanted  in "piano": opens Stage Piano:Stage Piano MIDI 1',
    `        in "Organ": isn't there; opened when it comes`,
    '        out "synth": means several. Choose one of "Synth #1", "Synth #2".',
    '',
  ]);
  expect(() => opened[0].list()).toThrow(expect.objectContaining({ code: 'PORT_CLOSED' }));
});

test('ports without names lists the two virtual ports, also on a computer without devices', async () => {
  const openPorts = async () => new FakeMachine().openPorts();
  expect(await runCli(['ports'], { openPorts })).toEqual({
    code: 0,
    err: '',
    out: [
      'in      nothing plays',
      'out     nothing can be played',
      'ours    in "Leeway": made while playing',
      '        out "Leeway": made while playing',
      '',
    ].join('\n'),
  });
});

test('ports takes the names of a settings file', async () => {
  const path = join(folder(), 'stage.toml');
  writeFileSync(path, '[[input]]\nport = "pads"\n\n[[outlet]]\nport = "Synth #2"\n');
  const { code, out } = await setUp().run('--settings', path);
  expect(code).toBe(0);
  expect(out).toContain('wanted  in "pads": opens Pads\n        out "Synth #2": opens Synth #2\n');
});

test('ports suggests the port that a misspelt name may mean', async () => {
  const { code, out } = await setUp().run('--in', 'organ', '--in', 'stage pinao', '--out', 'Modul3');
  expect(code).toBe(0);
  expect(out).toContain('in "stage pinao": isn\'t there; opened when it comes. Did you mean "Stage Piano"?');
  expect(out).toContain('in "organ": isn\'t there; opened when it comes\n');
  expect(out).toContain('out "Modul3": isn\'t there; opened when it comes. Did you mean "Module"?');
});

test('ports reports a mistake in the settings, and opens nothing', async () => {
  const path = join(folder(), 'stage.toml');
  writeFileSync(path, '[[input]]\nprot = "pads"\n');
  const { run, opened } = setUp();
  const { code, out, err } = await run('--settings', path);
  expect([code, out, opened.length]).toEqual([2, '', 0]);
  expect(err).toContain('[SETTINGS_KEY]');
});

test('ports --json lists the same as JSON', async () => {
  const { code, out, err } = await setUp({ virtualPorts: false }).run(
    '--out',
    'synth #2',
    '--in',
    'Organ',
    '--json',
  );
  expect([code, err]).toEqual([0, '']);
  expect(JSON.parse(out)).toEqual({
    kind: 'leeway ports',
    version: 1,
    usable: true,
    virtualPorts: false,
    inputs: [
      { name: 'Stage Piano:Stage Piano MIDI 1', occurrence: 1, wanted: 'Stage Piano:Stage Piano MIDI 1' },
      { name: 'Pads', occurrence: 1, wanted: 'Pads' },
    ],
    outputs: [
      { name: 'Synth', occurrence: 1, wanted: 'Synth' },
      { name: 'Synth', occurrence: 2, wanted: 'Synth #2' },
      { name: 'Module', occurrence: 1, wanted: 'Module' },
    ],
    wanted: [
      {
        direction: 'input',
        name: 'Organ',
        virtual: false,
        opens: null,
        problem: {
          code: 'PORT_MISSING',
          message: 'there is no MIDI port "Organ"',
          advice: 'There are: "Stage Piano:Stage Piano MIDI 1", "Pads".',
        },
      },
      {
        direction: 'output',
        name: 'synth #2',
        virtual: false,
        opens: { name: 'Synth', occurrence: 2, wanted: 'Synth #2' },
        problem: null,
      },
    ],
    missing: [expect.objectContaining({ code: 'NO_VIRTUAL_PORTS' })],
  });
});

describe('where MIDI cannot be used', () => {
  test('ports says how to get it, and ends with 3', async () => {
    expect(await runCli(['ports', '--in', 'Keys'], { openPorts: nothingThere })).toEqual({
      code: 3,
      out: '',
      err: 'leeway: There is none. Load it: sudo modprobe snd-seq. [MIDI_NO_SEQUENCER]\n',
    });
  });

  test('ports --json says so too', async () => {
    const { code, out, err } = await runCli(['ports', '--json'], { openPorts: nothingThere });
    expect([code, err]).toEqual([3, '']);
    expect(JSON.parse(out)).toMatchObject({
      usable: false,
      inputs: [],
      outputs: [],
      missing: [{ code: 'MIDI_NO_SEQUENCER', advice: 'Load it: sudo modprobe snd-seq.' }],
    });
  });

  test('ports reports what only some systems lack, and the rest works', async () => {
    const { code, out, err } = await setUp({ virtualPorts: false }).run();
    expect([code, out.split('\n').length]).toEqual([0, 8]);
    expect(err).toMatch(/^leeway: MIDI ports of our own can't be made.*\[NO_VIRTUAL_PORTS\]\n$/);
  });
});

test('ports ends with 70 at an internal error', async () => {
  const openPorts = () => Promise.reject(new TypeError('ours'));
  expect(await runCli(['ports'], { openPorts })).toMatchObject({ code: 70 });
});
