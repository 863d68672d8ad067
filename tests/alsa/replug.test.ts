import { execFile } from 'node:child_process';
import { promisify } from 'node:util';
import { describe, expect, test } from 'vitest';
import { matchPort, openPortSystem, PortReconnector, type WantedPort } from '../../src/io/ports/index.js';
import { addressOf, NO_SEQUENCER } from '../support/alsa.js';
import { ReconnectorLog } from '../support/reconnector-log.js';
import { until } from '../support/until.js';

const run = promisify(execFile);

/**
 * A program that plugs in (`plug NAME`) and unplugs (`unplug`) a USB MIDI device whose other end is the port "f_midi".
 * It needs a kernel with a USB device controller of its own, so it is only tried where one is named.
 */
const SWITCH = process.env.LEEWAY_USB_MIDI;
const ROUNDS = Number(process.env.LEEWAY_USB_ROUNDS ?? 100);
const LOOK_MS = 250;

describe.skipIf(NO_SEQUENCER !== undefined || SWITCH === undefined)(
  'a USB keyboard (LEEWAY_USB_MIDI)',
  () => {
    test(`is open again within 2 s after each of ${ROUNDS} replugs, and plays both ways`, async () => {
      const usb = (...words: string[]) => run('sh', [String(SWITCH), ...words]);
      const near = await openPortSystem();
      const far = await openPortSystem();
      const log = new ReconnectorLog();
      const wanted: WantedPort[] = [
        { direction: 'input', name: 'Test Keys', own: false },
        { direction: 'output', name: 'Test Keys', own: false },
      ];
      const reconnector = new PortReconnector(near, wanted, log);
      reconnector.look(performance.now());
      const timer = setInterval(() => reconnector.look(performance.now()), LOOK_MS);
      try {
        expect(log.take()).toEqual([
          'waiting input Test Keys: PORT_MISSING',
          'waiting output Test Keys: PORT_MISSING',
        ]);
        const waits: number[] = [];
        for (let round = 0; round < ROUNDS; round++) {
          await usb('plug', 'Test Keys');
          // The program returns when the device is listed.
          const pluggedMs = performance.now();
          await until(`round ${round}: both open`, () => log.lines.length >= 2);
          waits.push(performance.now() - pluggedMs);
          const name = 'Test Keys:Test Keys MIDI 1';
          // In which of two looks each was noticed is chance.
          expect(log.take().sort()).toEqual([`opened input ${name}`, `opened output ${name}`]);

          const heard: number[][] = [];
          const { inputs, outputs } = far.list();
          const [from, to] = [matchPort('f_midi', inputs), matchPort('f_midi', outputs)];
          if (!from.ok || !to.ok) throw new Error('The other end is missing.');
          const ear = far.openInput(from.value, (bytes) => heard.push([...bytes]));
          const hand = far.openOutput(to.value);
          log.outputs.get(wanted[1])?.send(Uint8Array.of(0x90, 60, round % 127));
          hand.send(Uint8Array.of(0x90, 72, round % 127));
          await until(`round ${round}: both notes`, () => heard.length > 0 && log.heard.length > 0);
          expect([heard, log.heard.splice(0)]).toEqual([
            [[0x90, 60, round % 127]],
            [[0x90, 72, round % 127]],
          ]);
          ear.close();
          hand.close();

          await usb('unplug');
          await until(`round ${round}: both lost`, () => log.lines.length >= 2);
          expect(log.take().sort()).toEqual([`lost input ${name}`, `lost output ${name}`]);
        }
        console.log(`open again after ${Math.round(Math.max(...waits))} ms at most, in ${ROUNDS} rounds`);
        expect(Math.max(...waits)).toBeLessThan(2000);
        expect(reconnector.faults).toEqual([]);
      } finally {
        clearInterval(timer);
        reconnector.close();
        near.close();
        far.close();
      }
    }, 1_800_000);

    test('is noticed when it is replugged between two looks, though it has its old number', async () => {
      const usb = (...words: string[]) => run('sh', [String(SWITCH), ...words]);
      const near = await openPortSystem();
      const log = new ReconnectorLog();
      const reconnector = new PortReconnector(
        near,
        [{ direction: 'input', name: 'Test Keys', own: false }],
        log,
      );
      const look = () => {
        reconnector.look(performance.now());
        return log.take();
      };
      const name = 'Test Keys:Test Keys MIDI 1';
      try {
        await usb('plug', 'Test Keys');
        expect(look()).toEqual([`opened input ${name}`]);
        const address = addressOf('Test Keys MIDI 1');
        await usb('unplug');
        await usb('plug', 'Test Keys');
        expect(addressOf('Test Keys MIDI 1')).toBe(address);
        expect([look(), look()].flat()).toEqual([`lost input ${name}`, `opened input ${name}`]);
      } finally {
        reconnector.close();
        near.close();
        await usb('unplug');
      }
    }, 300_000);
  },
);
