import { describe, expect, test } from 'vitest';
import { formatMidiFile, parseMidiFile } from '../../../src/core/midi/index.js';
import { ascii, chunk, header, hex, join } from '../../support/midi-bytes.js';

const EVEN = join(header(0, 1), chunk('MTrk', hex('00 90 3C 40 00 FF 2F 00')));
const ODD = join(header(0, 1), chunk('MTrk', hex('00 C0 05 00 FF 2F 00')));

function riffChunk(id: string, data: Uint8Array): Uint8Array {
  return join(ascii(id), [data.length & 0xff, data.length >> 8, 0, 0], data, data.length % 2 ? [0] : []);
}

const rmid = (...chunks: Uint8Array[]): Uint8Array => riffChunk('RIFF', join(ascii('RMID'), ...chunks));

describe('RMID: a MIDI file as the data chunk of a RIFF file', () => {
  test.each([
    ['even', EVEN],
    ['odd', ODD],
  ])('a RIFF chunk of %s length is read and written back wrapped', (_name, inside) => {
    const wrapped = rmid(riffChunk('data', inside));
    const outcome = parseMidiFile(wrapped);
    const plain = parseMidiFile(inside);
    if (!outcome.ok || !plain.ok) throw new Error('expected both to be read');
    expect(outcome.value).toEqual({ file: { ...plain.value.file, wrapper: 'riff' }, warnings: [] });
    expect(formatMidiFile(outcome.value.file)).toEqual(wrapped);
  });

  test.each([
    ['before', [riffChunk('LIST', ascii('INFO')), riffChunk('data', EVEN)]],
    ['after', [riffChunk('data', ODD), riffChunk('DISP', ascii('abc'))]],
  ])('a chunk %s the data is left out with a warning', (_name, chunks) => {
    expect(parseMidiFile(rmid(...chunks))).toMatchObject({
      ok: true,
      value: { warnings: [{ code: 'SMF_RIFF_CHUNK' }] },
    });
  });

  test('problems inside have their place in the whole file', () => {
    const broken = rmid(riffChunk('data', join(header(0, 1), chunk('MTrk', hex('00 3C 40 00')))));
    expect(parseMidiFile(broken)).toMatchObject({
      ok: false,
      problem: { code: 'SMF_RUNNING_STATUS', offset: 43 },
    });
    const fewer = rmid(riffChunk('data', join(header(1, 2), chunk('MTrk', hex('00 FF 2F 00')))));
    expect(parseMidiFile(fewer)).toMatchObject({
      value: { warnings: [{ code: 'SMF_TRACK_COUNT', offset: 30 }] },
    });
  });

  test.each([
    ['without data', rmid(riffChunk('LIST', ascii('INFO'))), 'SMF_RIFF', 24],
    ['of nothing', rmid(), 'SMF_RIFF', 12],
    ['with data cut short', rmid(riffChunk('data', EVEN)).slice(0, -1), 'SMF_TRUNCATED', 20],
    ['with data of 4 GiB', join(rmid(), ascii('data'), hex('FF FF FF FF 00')), 'SMF_TRUNCATED', 20],
    ['with a chunk of 4 GiB', join(rmid(), ascii('LIST'), hex('FF FF FF FF 00')), 'SMF_RIFF', 21],
    ['with something else as data', rmid(riffChunk('data', ascii('abcdefgh'))), 'SMF_NOT_MIDI', 20],
  ])('%s is refused', (_name, bytes, code, offset) => {
    expect(parseMidiFile(bytes)).toMatchObject({ ok: false, problem: { code, offset } });
  });
});
