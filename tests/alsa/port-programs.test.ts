import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { formatMidiFile, LiveParser, type TrackEvent } from '../../src/core/midi/index.js';
import { openPortSystem, type PortSystem } from '../../src/io/ports/index.js';
import { addressOf, hasPrograms, NO_SEQUENCER } from '../support/alsa.js';
import { fileOf, hex, ListSink } from '../support/midi-bytes.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { until } from '../support/until.js';

const run = promisify(execFile);
const isReady = NO_SEQUENCER === undefined && hasPrograms('aconnect', 'aseqdump', 'aplaymidi');

describe.skipIf(!isReady)("virtual ports with ALSA's programs at the other end (alsa-utils)", () => {
  const folder = useTemporaryFolder();
  let ports: PortSystem;
  let dump: ChildProcess | undefined;
  beforeEach(async () => {
    ports = await openPortSystem();
  });
  afterEach(() => {
    dump?.kill();
    ports.close();
  });

  test('aseqdump receives what is sent', async () => {
    const link = ports.createOutput('Leeway Out');
    dump = spawn('stdbuf', ['-oL', 'aseqdump', '-p', addressOf('Leeway Out')]);
    let text = '';
    dump.stdout?.on('data', (chunk) => {
      text += chunk;
    });
    await until('aseqdump to listen', () => text.includes('Waiting for data'));
    for (const message of ['E3 00 41', '93 3C 64', '83 3C 40', 'B3 40 7F', 'F0 7E 7F 06 01 F7', 'FA'])
      link.send(hex(message));
    await until('the last message', () => text.includes('Start'));
    const lines = text.split('\n').filter((line) => /^ *\d+:\d+ /.test(line));
    const told = lines.map((line) =>
      line
        .replace(/^ *\d+:\d+ +/, '')
        .replace(/ +/g, ' ')
        .trim(),
    );
    expect(told.slice(-6)).toEqual([
      'Pitch bend 3, value 128',
      'Note on 3, note 60, velocity 100',
      'Note off 3, note 60, velocity 64',
      'Control change 3, controller 64, value 127',
      'System exclusive F0 7E 7F 06 01 F7',
      'Start',
    ]);
  });

  test('a connection that aconnect cuts is noticed and opened again', async () => {
    const far = await openPortSystem();
    try {
      const keys = far.createOutput('Far Keys');
      const [place] = ports.list().inputs.filter(({ name }) => name.endsWith(':Far Keys'));
      const link = ports.openInput(place, () => {});
      ports.list();
      expect(link.placeNow()).toEqual(place);
      await run('aconnect', ['-d', addressOf('Far Keys'), addressOf('RtMidi Input')]);
      expect(ports.list().inputs).toContainEqual(place);
      expect(link.placeNow()).toBeUndefined();
      link.close();
      const heard: number[][] = [];
      const again = ports.openInput(place, (bytes) => heard.push([...bytes]));
      ports.list();
      expect(again.placeNow()).toEqual(place);
      keys.send(hex('F8'));
      await until('the clock', () => heard.length > 0);
    } finally {
      far.close();
    }
  });

  test('what aplaymidi plays is received', async () => {
    const events: TrackEvent[] = [];
    const expected: number[][] = [];
    for (let i = 0; i < 60; i++) {
      const key = 40 + ((i * 7) % 48);
      for (const [status, data2] of [
        [0x92, 80],
        [0x82, 64],
      ]) {
        events.push({ kind: 'channel', tick: 6 * events.length, status, data1: key, data2 });
        expected.push([status, key, data2]);
      }
    }
    events.push({ kind: 'meta', tick: 6 * events.length, type: 0x2f, data: new Uint8Array(0) });
    const path = join(folder(), 'scale.mid');
    writeFileSync(path, formatMidiFile(fileOf(events)));

    const heard = new ListSink();
    const parser = new LiveParser();
    ports.createInput('Leeway In', (bytes) => parser.feed(bytes, heard));
    await run('aplaymidi', ['-p', addressOf('Leeway In'), '-d', '0', path]);
    const notes = () => heard.messages.filter(([status]) => status === 0x92 || status === 0x82);
    await until('all notes', () => notes().length >= expected.length);
    expect(notes()).toEqual(expected);
  });
});
