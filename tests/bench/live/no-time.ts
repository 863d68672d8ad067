import type { OutputLink, PortSystem } from '../../../src/io/ports/index.js';

const HELD = [48, 52, 55, 60, 64, 67, 71, 74, 76, 79];
const ROOTS = [0, 5, 7, 2, 9];

/** Ports that take no time: an input that is played by hand, and an output that counts. */
export class NoTime implements PortSystem {
  readonly virtualPorts = true;
  sent = 0;
  #onBytes: (bytes: Uint8Array) => void = () => {};

  play(...bytes: number[]): void {
    this.#onBytes(Uint8Array.from(bytes));
  }

  list() {
    return { inputs: [], outputs: [] };
  }

  openInput(): never {
    throw new Error('There are only ports of our own.');
  }

  openOutput(): never {
    throw new Error('There are only ports of our own.');
  }

  createInput(name: string, onBytes: (bytes: Uint8Array) => void) {
    this.#onBytes = onBytes;
    return { isConnected: () => true, placeNow: () => ({ name, occurrence: 1 }), close() {} };
  }

  createOutput(name: string): OutputLink {
    return {
      send: () => {
        this.sent++;
      },
      isConnected: () => true,
      placeNow: () => ({ name, occurrence: 1 }),
      close() {},
    } as OutputLink;
  }

  close(): void {}
}

/** Every half second another chord of ten, and over it a note each 10 ms. @returns how many notes over it */
export function playStrikes(ports: NoTime, length: number): Promise<number> {
  return new Promise((resolve) => {
    const untilMs = performance.now() + 1000 * length;
    let chord: number[] = [];
    let strikes = 0;
    let turn = 0;
    const timer = setInterval(() => {
      turn++;
      if (turn % 2 === 0) {
        ports.play(0x80, 84 + (strikes % 12), 64);
        return;
      }
      if (strikes % 50 === 0) {
        for (const key of chord) ports.play(0x80, key, 64);
        chord = HELD.map((key) => key + ROOTS[(strikes / 50) % ROOTS.length]);
        for (const key of chord) ports.play(0x90, key, 80);
      }
      strikes++;
      ports.play(0x90, 84 + (strikes % 12), 80);
      if (performance.now() < untilMs) return;
      clearInterval(timer);
      for (const key of [...chord, 84 + (strikes % 12)]) ports.play(0x80, key, 64);
      resolve(strikes);
    }, 5);
  });
}
