import { describe, expect, it } from 'vitest';
import { parseA4, toReferenceCents } from '../../../src/core/theory/index.js';

describe('parseA4', () => {
  it.each([
    ['440', 440],
    ['415.3', 415.3],
    [' 442 Hz', 442],
    ['392hz', 392],
    ['220', 220],
    ['880', 880],
  ])('reads %s', (text, hertz) => {
    expect(parseA4(text)).toEqual({ ok: true, value: hertz });
  });

  it.each([
    ['', 'A4_TEXT'],
    ['-440', 'A4_TEXT'],
    ['4e2', 'A4_TEXT'],
    ['440 kHz', 'A4_TEXT'],
    ['NaN', 'A4_TEXT'],
    ['four hundred and forty', 'A4_TEXT'],
    ['219.999', 'A4_RANGE'],
    ['880.001', 'A4_RANGE'],
    ['0', 'A4_RANGE'],
  ])('refuses "%s" with %s', (text, code) => {
    const read = parseA4(text);
    expect(read.ok ? 'read' : read.problem.code).toBe(code);
  });
});

describe('toReferenceCents', () => {
  it('is 0 at 440, octaves at 220 and 880, and a semitone at 466.1638', () => {
    expect(toReferenceCents(440)).toBe(0);
    expect(toReferenceCents(220)).toBe(-1200);
    expect(toReferenceCents(880)).toBe(1200);
    expect(toReferenceCents(466.163761518)).toBeCloseTo(100, 6);
    expect(toReferenceCents(415)).toBeCloseTo(-101.27, 2);
  });
});
