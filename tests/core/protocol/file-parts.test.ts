import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  FileAssembly,
  type FilePart,
  LIMITS,
  parseUpstream,
  toFileParts,
} from '../../../src/core/protocol/index.js';
import { forAll } from '../../support/properties.js';

function cut(bytes: Uint8Array, upload = 1): FilePart[] {
  const outcome = toFileParts(upload, 'song.mid', Buffer.from(bytes).toString('base64'), bytes.length);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

function codeOf(outcome: { ok: true } | { ok: false; problem: { code: string } }): string {
  return outcome.ok ? 'taken' : outcome.problem.code;
}

describe('toFileParts and FileAssembly', () => {
  test('carry any file unchanged, with every part an allowed message', () => {
    forAll([fc.uint8Array({ minLength: 1, maxLength: 9000, size: 'max' })], 40, (bytes) => {
      const assembly = new FileAssembly();
      const parts = cut(bytes);
      const outcomes = parts.map((part) => {
        expect(parseUpstream(JSON.stringify(part)).ok).toBe(true);
        return assembly.take(part);
      });
      const last = outcomes.pop();
      expect(outcomes.every((outcome) => outcome.ok && outcome.value === undefined)).toBe(true);
      expect(last?.ok && last.value && new Uint8Array(Buffer.from(last.value.base64, 'base64'))).toEqual(
        bytes,
      );
    });
  });

  test('refuse an empty file and one over the bound before they are sent', () => {
    expect(codeOf(toFileParts(1, 'a', '', 0))).toBe('FILE_EMPTY');
    expect(codeOf(toFileParts(1, 'a', 'AAAA', LIMITS.fileBytes + 1))).toBe('FILE_LARGE');
  });

  test('refuse a part that is missing, repeated, of another file, or without a beginning', () => {
    const parts = cut(new Uint8Array(9000));
    expect(parts).toHaveLength(4);
    expect(codeOf(new FileAssembly().take(parts[1]))).toBe('FILE_ORDER');
    for (const next of [parts[2], parts[3], { ...parts[1], upload: 2 }, { ...parts[1], bytes: 8999 }]) {
      const assembly = new FileAssembly();
      assembly.take(parts[0]);
      expect(codeOf(assembly.take(next))).toBe('FILE_ORDER');
      expect(codeOf(assembly.take(parts[1]))).toBe('FILE_ORDER');
    }
    const twice = new FileAssembly();
    twice.take(parts[0]);
    twice.take(parts[1]);
    expect(codeOf(twice.take(parts[1]))).toBe('FILE_ORDER');
  });

  test('start again at a first part', () => {
    const assembly = new FileAssembly();
    assembly.take(cut(new Uint8Array(9000))[0]);
    const [only] = cut(Uint8Array.of(1, 2, 3), 2);
    expect(assembly.take(only)).toEqual({ ok: true, value: { name: 'song.mid', bytes: 3, base64: 'AQID' } });
  });

  test('refuse a wrong announced length, and padding inside', () => {
    const [only] = cut(Uint8Array.of(1, 2, 3));
    expect(codeOf(new FileAssembly().take({ ...only, bytes: 4 }))).toBe('FILE_SIZE');
    const padded = { ...only, bytes: 4, parts: 2, data: 'AQ==' };
    const assembly = new FileAssembly();
    assembly.take(padded);
    expect(codeOf(assembly.take({ ...padded, part: 1, data: 'AQID' }))).toBe('FILE_SIZE');
  });
});
