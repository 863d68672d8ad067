import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { LiveParser } from '../../src/core/midi/index.js';
import { LeewayError } from '../../src/io/leeway-error.js';
import type { OutputLink, PortPlace, PortSystem } from '../../src/io/ports/port-system.js';
import { hex, ListSink } from './midi-bytes.js';
import { pause, until } from './until.js';

/** Every kind of message that a port carries, as the standard prints them. */
const MESSAGES = [
  '90 3C 64',
  '80 3C 40',
  '90 3C 00',
  'AF 7F 01',
  'B3 40 7F',
  'C5 0A',
  'D0 33',
  'E9 00 40',
  'F1 23',
  'F2 01 7F',
  'F3 04',
  'F6',
  'F8',
  'FA',
  'FB',
  'FC',
  'FE',
  'FF',
  'F0 7E 7F 06 01 F7',
].map((text) => [...hex(text)]);

/** A SysEx whose bytes tell their place. */
export function countedSysex(length: number): number[] {
  return Array.from({ length }, (_, i) => (i === 0 ? 0xf0 : i === length - 1 ? 0xf7 : i % 127));
}

/**
 * What every {@link PortSystem} promises, tested between two of them on one machine: what the far one makes is a device
 * to the near one.
 *
 * @param open two fresh systems
 */
export function testPortContract(
  name: string,
  open: () => Promise<{ near: PortSystem; far: PortSystem }>,
): void {
  describe(`port contract: ${name}`, () => {
    let near: PortSystem;
    let far: PortSystem;
    beforeEach(async () => {
      ({ near, far } = await open());
    });
    afterEach(() => {
      near.close();
      far.close();
    });

    /** The places of one name: the far side's ports may stand behind the name of their program. */
    const find = (places: readonly PortPlace[], wanted: string): PortPlace[] =>
      places.filter((place) => place.name === wanted || place.name.endsWith(`:${wanted}`));
    const inputs = (wanted: string) => find(near.list().inputs, wanted);
    const outputs = (wanted: string) => find(near.list().outputs, wanted);

    /** A device of the far side that plays, and what the near side hears of it, read as a stream. */
    const listen = () => {
      const keys = far.createOutput('Far Keys');
      const heard = new ListSink();
      const parser = new LiveParser();
      const link = near.openInput(inputs('Far Keys')[0], (bytes) => parser.feed(bytes, heard));
      return { keys, heard: heard.messages, link };
    };
    /** A device of the far side that is played, and what it hears. */
    const play = () => {
      const heard = new ListSink();
      const parser = new LiveParser();
      const synth = far.createInput('Far Synth', (bytes) => parser.feed(bytes, heard));
      return { synth, heard: heard.messages, link: near.openOutput(outputs('Far Synth')[0]) };
    };
    const sendAll = (link: OutputLink, messages: readonly number[][]) => {
      for (const message of messages) link.send(Uint8Array.from(message));
    };

    test("lists another program's ports, each in its direction", () => {
      far.createOutput('Far Keys');
      far.createInput('Far Synth', () => {});
      expect(inputs('Far Keys')).toMatchObject([{ occurrence: 1 }]);
      expect(outputs('Far Synth')).toMatchObject([{ occurrence: 1 }]);
      expect(inputs('Far Synth')).toEqual([]);
      expect(outputs('Far Keys')).toEqual([]);
    });

    test('counts equal names', () => {
      far.createOutput('Twin');
      far.createOutput('Twin');
      expect(inputs('Twin')).toMatchObject([{ occurrence: 1 }, { occurrence: 2 }]);
    });

    test('gives names without a number that changes with a replug', () => {
      const first = far.createOutput('Far Keys');
      const [before] = inputs('Far Keys');
      first.close();
      far.createOutput('In Between');
      far.createOutput('Far Keys');
      expect(inputs('Far Keys')).toEqual([before]);
    });

    test('never offers its own ports, nor the ends of its links', () => {
      const { inputs: inputsBefore, outputs: outputsBefore } = near.list();
      const own = [near.createOutput('Near Out'), near.createInput('Near In', () => {})];
      expect(near.list()).toEqual({ inputs: inputsBefore, outputs: outputsBefore });
      expect(find(far.list().inputs, 'Near Out')).toHaveLength(1);
      expect(find(far.list().outputs, 'Near In')).toHaveLength(1);
      listen();
      play();
      const names = (places: readonly PortPlace[]) => places.map((place) => place.name.replace(/^.*:/, ''));
      expect(names(near.list().inputs).filter((one) => !/^Midi Through/.test(one))).toEqual([
        ...names(inputsBefore).filter((one) => !/^Midi Through/.test(one)),
        'Far Keys',
      ]);
      for (const link of own) link.close();
      expect(find(far.list().inputs, 'Near Out')).toEqual([]);
      expect(find(far.list().outputs, 'Near In')).toEqual([]);
    });

    test('offers an equal name of another program beside its own', async () => {
      const own = near.createOutput('Leeway');
      const other = far.createOutput('Leeway');
      expect(inputs('Leeway')).toMatchObject([{ occurrence: 1 }]);
      const heard: number[][] = [];
      near.openInput(inputs('Leeway')[0], (bytes) => heard.push([...bytes]));
      own.send(hex('F8'));
      other.send(hex('FA'));
      await until('the other', () => heard.length > 0);
      expect(heard).toEqual([[0xfa]]);
    });

    test('passes every kind of message through an input, in order', async () => {
      const { keys, heard } = listen();
      sendAll(keys, MESSAGES);
      await until('all messages', () => heard.length >= MESSAGES.length);
      expect(heard).toEqual(MESSAGES);
    });

    test('passes every kind of message through an output, in order', async () => {
      const { link, heard } = play();
      sendAll(link, MESSAGES);
      await until('all messages', () => heard.length >= MESSAGES.length);
      expect(heard).toEqual(MESSAGES);
    });

    test('passes messages both ways through a virtual port', async () => {
      const heard: number[][] = [];
      near.createInput('Near In', (bytes) => heard.push([...bytes]));
      const there = far.openOutput(find(far.list().outputs, 'Near In')[0]);
      const answers: number[][] = [];
      const link = near.createOutput('Near Out');
      far.openInput(find(far.list().inputs, 'Near Out')[0], (bytes) => answers.push([...bytes]));
      there.send(hex('90 3C 64'));
      link.send(hex('B0 7B 00'));
      await until('both', () => heard.length > 0 && answers.length > 0);
      expect([heard, answers]).toEqual([[[0x90, 60, 100]], [[0xb0, 123, 0]]]);
      expect(link.placeNow()).toEqual({ name: 'Near Out', occurrence: 1 });
    });

    test.each([2, 32, 33, 1023, 1024, 1025, 2048, 2049, 5000, 16_000])(
      'passes a SysEx of %i bytes whole, and what follows it too',
      async (length) => {
        const { link, heard } = play();
        const messages = [countedSysex(length), [0x90, 60, 64], countedSysex(40), [0xfe]];
        sendAll(link, messages);
        await until('the last message', () => heard.length >= messages.length);
        expect(heard).toEqual(messages);
      },
    );

    test.each([
      ['nothing', ''],
      ['a data byte first', '3C 64'],
      ['half a note-on', '90 3C'],
      ['two messages', '90 3C 64 90 40 64'],
      ['running status', '90 3C 64 40 64'],
      ['a status byte as data', '90 3C 80'],
      ['a SysEx without its end', 'F0 7E 7F 06 01'],
      ['a SysEx of one byte', 'F0'],
      ['a SysEx with real time inside', 'F0 7E F8 06 01 F7'],
      ['an end without a SysEx', 'F7'],
      ['an undefined status', 'F4'],
      ['undefined real time', 'F9'],
    ])('refuses %s, and goes on', async (_, text) => {
      const { link, heard } = play();
      const bytes = text === '' ? new Uint8Array(0) : hex(text);
      expect(() => link.send(bytes)).toThrow(expect.objectContaining({ code: 'PORT_MESSAGE' }));
      link.send(hex('80 3C 40'));
      await until('the next message', () => heard.length > 0);
      expect(heard).toEqual([[0x80, 60, 64]]);
    });

    test('refuses a SysEx beyond the limit', () => {
      const { link } = play();
      const tooLong = Uint8Array.from(countedSysex(65_537));
      expect(() => link.send(tooLong)).toThrow(expect.objectContaining({ code: 'PORT_MESSAGE' }));
    });

    test('lets the bytes given to send be used again', async () => {
      const { link, heard } = play();
      const bytes = hex('90 3C 64');
      for (const key of [60, 64, 67]) {
        bytes[1] = key;
        link.send(bytes);
      }
      await until('three notes', () => heard.length >= 3);
      expect(heard.map(([, key]) => key)).toEqual([60, 64, 67]);
    });

    test('sends nothing more to a closed input', async () => {
      const { keys, heard, link } = listen();
      keys.send(hex('90 3C 64'));
      await until('the note', () => heard.length > 0);
      link.close();
      link.close();
      keys.send(hex('80 3C 40'));
      await pause(50);
      expect(heard).toEqual([[0x90, 60, 100]]);
      expect(link.placeNow()).toBeUndefined();
    });

    test('lets an input be closed by its own listener', async () => {
      const keys = far.createOutput('Far Keys');
      let count = 0;
      const link = near.openInput(inputs('Far Keys')[0], () => {
        count++;
        link.close();
      });
      sendAll(
        keys,
        [hex('90 3C 64'), hex('80 3C 40')].map((bytes) => [...bytes]),
      );
      await until('one', () => count > 0);
      await pause(50);
      expect(count).toBe(1);
    });

    test('reports a closed output', () => {
      const { link } = play();
      link.close();
      link.close();
      expect(() => link.send(hex('F8'))).toThrow(expect.objectContaining({ code: 'PORT_CLOSED' }));
      expect(link.placeNow()).toBeUndefined();
    });

    test('reports PORT_MISSING for a port that does not exist', () => {
      const nowhere = { name: 'Nowhere', occurrence: 1 };
      far.createOutput('Far Keys');
      const second = { ...inputs('Far Keys')[0], occurrence: 2 };
      for (const act of [
        () => near.openInput(nowhere, () => {}),
        () => near.openOutput(nowhere),
        () => near.openInput(second, () => {}),
      ]) {
        expect(act).toThrow(LeewayError);
        expect(act).toThrow(expect.objectContaining({ code: 'PORT_MISSING' }));
      }
    });

    test('notices an input whose far end went, and opens it again after its return', async () => {
      const { keys, heard, link } = listen();
      expect(link.placeNow()).toEqual(inputs('Far Keys')[0]);
      keys.close();
      expect(inputs('Far Keys')).toEqual([]);
      expect(link.placeNow()).toBeUndefined();
      link.close();
      const again = listen();
      sendAll(again.keys, [[0x90, 60, 64]]);
      await until('the note', () => again.heard.length > 0);
      expect(heard).toEqual([]);
    });

    test('notices an output whose far end went, which does no harm, and opens it again', async () => {
      const { synth, heard, link } = play();
      synth.close();
      expect(outputs('Far Synth')).toEqual([]);
      expect(link.placeNow()).toBeUndefined();
      try {
        link.send(hex('90 3C 64'));
      } catch (error) {
        expect(error).toMatchObject({ code: 'PORT_SEND' });
      }
      link.close();
      const again = play();
      again.link.send(hex('90 3C 64'));
      await until('the note', () => again.heard.length > 0);
      expect(heard).toEqual([]);
    });

    test('leaves the second of two equal names connected, and only that link, when the first goes', async () => {
      const heard: string[] = [];
      const first = far.createOutput('Twin');
      const second = far.createOutput('Twin');
      const places = inputs('Twin');
      const links = places.map((place, i) => near.openInput(place, () => heard.push(`twin ${i}`)));
      second.send(hex('F8'));
      first.close();
      near.list();
      expect(links.map((link) => link.placeNow())).toEqual([undefined, places[0]]);
      await until('the second', () => heard.length > 0);
      expect(heard).toEqual(['twin 1']);
    });

    test('closes everything with the system, and reports that from then on', () => {
      const { link } = play();
      near.createOutput('Near Out');
      near.close();
      near.close();
      expect(find(far.list().inputs, 'Near Out')).toEqual([]);
      expect(link.placeNow()).toBeUndefined();
      for (const act of [() => near.list(), () => near.createOutput('Another'), () => link.send(hex('F8'))]) {
        expect(act).toThrow(expect.objectContaining({ code: 'PORT_CLOSED' }));
      }
    });
  });
}
