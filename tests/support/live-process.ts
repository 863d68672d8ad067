import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { until } from './until.js';

const PROGRAM = fileURLToPath(new URL('../../bin/leeway.js', import.meta.url));

/** A `leeway live` of its own process, and what it says. */
export class LiveProcess {
  readonly #child: ChildProcess;
  /** The texts of its lines so far. */
  readonly said: string[] = [];
  /** Its exit code, or the signal that killed it. */
  readonly ended: Promise<number | string | null>;

  constructor(...argv: string[]) {
    this.#child = spawn(process.execPath, [PROGRAM, 'live', ...argv], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let rest = '';
    this.#child.stdout?.on('data', (chunk: Buffer) => {
      const lines = (rest + String(chunk)).split('\n');
      rest = lines.pop() ?? '';
      for (const line of lines) this.said.push((JSON.parse(line) as { msg: string }).msg);
    });
    this.ended = new Promise((resolve) => {
      this.#child.on('exit', (code, signal) => resolve(signal ?? code));
    });
  }

  /** Waits for a line that begins with these words. */
  async says(words: string, timeoutMs = 120_000): Promise<string> {
    const find = () => this.said.find((line) => line.startsWith(words));
    await until(`"${words}"`, () => find() !== undefined, timeoutMs);
    return String(find());
  }

  kill(signal: NodeJS.Signals): void {
    this.#child.kill(signal);
  }
}
