import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { until } from './until.js';

const PROGRAM = fileURLToPath(new URL('../../bin/leeway.js', import.meta.url));
/** Loaded before the program where its server is to fail on purpose. */
const FAILING_THREAD = new URL('failing-thread.mjs', import.meta.url).href;

/** Leeway as a process of its own, and what it says. */
export class LeewayProcess {
  readonly #child: ChildProcess;
  /** The texts of its lines so far. */
  readonly said: string[] = [];
  /** Its exit code, or the signal that killed it. */
  readonly ended: Promise<number | string | null>;

  /**
   * @param argv what stands after the program's name
   * @param mayFail whether `failThreads` is going to be asked for
   * @param folder  where it runs
   */
  constructor(argv: readonly string[], mayFail = false, folder = process.cwd()) {
    this.#child = spawn(
      process.execPath,
      [...(mayFail ? ['--import', FAILING_THREAD] : []), PROGRAM, ...argv],
      { cwd: folder, stdio: ['ignore', 'pipe', 'inherit', ...(mayFail ? (['ipc'] as const) : [])] },
    );
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

  /** Every thread of it but the main one runs into a fault that nobody catches. */
  failThreads(): void {
    this.#child.send('fail');
  }
}

/** A `leeway live` of its own process. */
export class LiveProcess extends LeewayProcess {
  constructor(...argv: string[]) {
    super(['live', ...argv]);
  }
}
