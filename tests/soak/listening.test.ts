import { describe, expect, test } from 'vitest';
import { HEARD, Listening, toPieceKind } from './listening.js';

describe('listening', () => {
  const create = () => new Listening(['Synth', 'Organ'], () => 12.34);
  const send = (listening: Listening, synth: number, ...bytes: number[]) =>
    listening.hear(toPieceKind(synth, HEARD.message), Uint8Array.from(bytes));

  test('reports what each synth sounds', () => {
    const listening = create();
    send(listening, 0, 0x90, 60, 64);
    send(listening, 1, 0x90, 62, 64);
    send(listening, 1, 0x90, 65, 64);
    send(listening, 0, 0x80, 60, 0);
    send(listening, 0, 0xf0, 0x7d, 1, 0xf7);
    expect(listening.report()).toMatchObject([
      { name: 'Synth', sounding: 0, messages: 3, faults: [] },
      { name: 'Organ', sounding: 2, messages: 2, faults: [] },
    ]);
  });

  test('reports faults with their synth and time', () => {
    const listening = create();
    send(listening, 1, 0x80, 60, 0);
    const [synth, organ] = listening.report();
    expect(synth.faults).toEqual([]);
    expect(organ.faults).toEqual([expect.stringMatching(/^Organ at 12\.3 s: note-off for nothing, key 60/)]);
  });

  test.each([HEARD.replugged, HEARD.refused])(
    'accepts note-offs without notes after %i, up to the next note',
    (what) => {
      const listening = create();
      listening.hear(toPieceKind(0, what), new Uint8Array(0));
      send(listening, 0, 0x80, 60, 0);
      send(listening, 1, 0x80, 60, 0);
      send(listening, 0, 0x90, 61, 64);
      send(listening, 0, 0x80, 60, 0);
      const [synth, organ] = listening.report();
      expect(synth).toMatchObject({ spareNoteOffs: 1, messages: 3 });
      expect(synth.faults).toHaveLength(1);
      expect(organ.faults).toHaveLength(1);
    },
  );
});
