/**
 * Waits until something holds, looking again every few milliseconds. Rejects with what was waited for after the time.
 * @example await until('three messages', () => got.length === 3)
 */
export async function until(what: string, holds: () => boolean, timeoutMs = 30_000): Promise<void> {
  const end = performance.now() + timeoutMs;
  while (!holds()) {
    if (performance.now() > end) throw new Error(`Waited ${timeoutMs} ms in vain for ${what}.`);
    await pause(2);
  }
}

/** Waits. */
export function pause(ms: number): Promise<void> {
  return new Promise((done) => setTimeout(done, ms));
}
