import { createRequire } from 'node:module';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { LiveParser } from '../../src/core/midi/index.js';
import { matchPort, type OutputLink, openPortSystem, type PortSystem } from '../../src/io/ports/index.js';
import { NO_SEQUENCER } from '../support/alsa.js';
import { ListSink } from '../support/midi-bytes.js';
import { countedSysex } from '../support/port-contract.js';
import { pause, until } from '../support/until.js';

/** 24 to a quarter note at 120 quarters a minute. */
const CLOCK_MS = 500 / 24;

describe.skipIf(NO_SEQUENCER !== undefined)(
  'long messages and a clock, through an input and an output',
  () => {
    let near: PortSystem;
    let far: PortSystem;
    beforeEach(async () => {
      near = await openPortSystem();
      far = await openPortSystem();
    });
    afterEach(() => {
      near.close();
      far.close();
    });

    const find = (
      places: readonly { readonly name: string; readonly occurrence: number }[],
      name: string,
    ) => {
      const found = matchPort(name, places);
      if (!found.ok) throw new Error(found.problem.message);
      return found.value;
    };

    /** What the far synth hears when the near side passes on whatever the far keys play. */
    const passThrough = (): { keys: OutputLink; heard: number[][] } => {
      const keys = far.createOutput('Far Keys');
      const heard = new ListSink();
      const farParser = new LiveParser();
      far.createInput('Far Synth', (bytes) => farParser.feed(bytes, heard));
      const out = near.openOutput(find(near.list().outputs, 'Far Synth'));
      const nearParser = new LiveParser();
      const sink = {
        channel: (status: number, data1: number, data2: number) =>
          out.send(Uint8Array.of(status, data1, data2)),
        system: (bytes: Uint8Array) => out.send(bytes),
      };
      near.openInput(find(near.list().inputs, 'Far Keys'), (bytes) => nearParser.feed(bytes, sink));
      return { keys, heard: heard.messages };
    };

    test('a SysEx of 5000 bytes and a clock arrive whole and in order while chords are played', async () => {
      const { keys, heard } = passThrough();
      const sent: number[][] = [];
      const send = (...bytes: number[]) => {
        sent.push(bytes);
        keys.send(Uint8Array.from(bytes));
      };
      for (let tick = 0; tick < 96; tick++) {
        send(0xf8);
        if (tick % 12 === 3) for (const key of [48, 60, 64, 67]) send(0x90, key, 80);
        if (tick % 12 === 9) for (const key of [48, 60, 64, 67]) send(0x80, key, 64);
        if (tick % 24 === 6) send(...countedSysex(5000));
        await pause(CLOCK_MS);
      }
      await until('all messages', () => heard.length >= sent.length, 30_000);
      expect(heard).toEqual(sent);
    });

    test('a clock inside a SysEx leaves it whole', async () => {
      const heard = new ListSink();
      const parser = new LiveParser();
      // As a device on a cable sends it; our own output refuses such a thing.
      const { Output } = createRequire(import.meta.url)('@julusian/midi') as typeof import('@julusian/midi');
      const device = new Output();
      try {
        device.openVirtualPort('Far Keys');
        near.openInput(find(near.list().inputs, 'Far Keys'), (bytes) => parser.feed(bytes, heard));
        const sysex = Buffer.from(countedSysex(2000));
        // The first piece sets the length of the encoder's buffer, and so goes out at once.
        device.sendMessage(sysex.subarray(0, 1000));
        device.sendMessage(Buffer.of(0xf8));
        device.sendMessage(sysex.subarray(1000));
        device.sendMessage(Buffer.of(0x90, 60, 64));
        await until('the note', () => heard.messages.length >= 3);
        expect(heard.messages).toEqual([[0xf8], [...sysex], [0x90, 60, 64]]);
      } finally {
        device.destroy();
      }
    });
  },
);
