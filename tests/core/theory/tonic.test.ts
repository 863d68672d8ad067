import { describe, expect, it } from 'vitest';
import { parseTonic } from '../../../src/core/theory/index.js';

describe('parseTonic', () => {
  it.each([
    ['C', 0, 0],
    ['F#', 6, 6],
    ['G♭', 6, -6],
    ['Bb', 10, -2],
    ['bb', 10, -2],
    ['b', 11, 5],
    ['E♭', 3, -3],
    [' a ', 9, 3],
    ['B♯', 0, 12],
    ['Cb', 11, -7],
    ['F##', 7, 13],
  ])('%s is key class %i at place %i', (text, keyClass, fifths) => {
    expect(parseTonic(text)).toEqual({ ok: true, value: { keyClass, fifths } });
  });

  it.each(['', 'H', 'C4', 'C#b', 'F###', 'Cmaj', '0', 'x'.repeat(1000)])('refuses row %#', (text) => {
    const read = parseTonic(text);
    if (read.ok) throw new Error('was read');
    expect(read.problem.code).toBe('TONIC_NAME');
    expect(read.problem.message.length).toBeLessThan(60);
  });
});
