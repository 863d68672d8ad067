import { describe, expect, it } from 'vitest';
import { RateFuse } from '../../../src/app/live/input-rules.js';

describe('the rate fuse', () => {
  it('lets through as many as it is set to within a second, and opens at the next', () => {
    const fuse = new RateFuse(100);
    for (let i = 0; i < 100; i++) expect(fuse.take(5000 + i * 9)).toBe(true);
    expect(fuse.take(5900)).toBe(false);
    expect(fuse.isOpen).toBe(true);
    expect(fuse.take(60_000)).toBe(false);
  });

  it('lets through a steady rate for ever', () => {
    const fuse = new RateFuse(100);
    for (let i = 0; i < 5000; i++) if (!fuse.take(i * 11)) expect(i).toBe('opened');
    expect(fuse.isOpen).toBe(false);
  });

  it('counts from nothing after it was closed', () => {
    const fuse = new RateFuse(3);
    for (let i = 0; i < 4; i++) fuse.take(0);
    fuse.close();
    expect([1, 2, 3, 4].map(() => fuse.take(1))).toEqual([true, true, true, false]);
  });

  it('begins anew when the clock goes back', () => {
    const fuse = new RateFuse(3);
    for (let i = 0; i < 3; i++) fuse.take(9000);
    expect(fuse.take(100)).toBe(true);
  });
});
