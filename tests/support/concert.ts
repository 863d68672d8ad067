/** A scripted performance: what the keyboard sends, and how long to wait before it, in milliseconds. */
export interface Gesture {
  readonly waitMs: number;
  readonly bytes: readonly number[];
}

/**
 * A few bars for a fault to fall into anywhere: chords with ties, a pedal, a wheel, a program change, a cluster, a key
 * struck again while the pedal holds it, pressure, a mode message, and clock in between.
 */
export const CONCERT: readonly Gesture[] = [
  g(0, 0xc0, 19),
  ...chord(10, 48, 60, 64, 67),
  g(200, 0xf8),
  ...lift(150, 64, 67),
  ...chord(5, 65, 69),
  g(100, 0xe0, 0, 80),
  g(20, 0xe0, 0, 64),
  g(50, 0xb0, 64, 127),
  ...lift(40, 48, 60, 65, 69),
  ...chord(30, 50, 62, 65, 69),
  g(60, 0x90, 62, 70),
  g(10, 0xd0, 90),
  g(10, 0xa0, 62, 40),
  g(80, 0xb0, 64, 0),
  ...lift(50, 50, 62, 62, 65, 69),
  ...chord(0, 60, 61, 62, 63, 64, 65, 66, 67, 68, 69),
  g(120, 0xb0, 123, 0),
  ...chord(20, 43, 59, 62, 65),
  g(100, 0xf0, 0x7d, 1, 2, 3, 0xf7),
  ...lift(100, 43, 59, 62, 65),
];

function g(waitMs: number, ...bytes: number[]): Gesture {
  return { waitMs, bytes };
}

function chord(waitMs: number, ...keys: number[]): Gesture[] {
  return keys.map((key, i) => g(i === 0 ? waitMs : 3, 0x90, key, 80));
}

function lift(waitMs: number, ...keys: number[]): Gesture[] {
  return keys.map((key, i) => g(i === 0 ? waitMs : 2, 0x80, key, 64));
}
