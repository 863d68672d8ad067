import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';

/** One of the programs beside the stage, in a process of its own. */
export class Child<Report> {
  readonly #child: ChildProcess;
  readonly #program: string;

  private constructor(child: ChildProcess, program: string) {
    this.#child = child;
    this.#program = program;
  }

  /** Starts it and waits until it says `ready`. Rejects with what it ended with, if it ends before. */
  static async start<Report>(program: string, argv: readonly string[]): Promise<Child<Report>> {
    const child = fork(fileURLToPath(new URL(program, import.meta.url)), argv);
    await hear(child, program);
    return new Child(child, program);
  }

  tell(what: 'rest' | 'go'): void {
    this.#child.send(what);
  }

  report(): Promise<Report> {
    const heard = hear(this.#child, this.#program);
    this.#child.send('report');
    return heard as Promise<Report>;
  }

  leave(): void {
    this.#child.disconnect();
  }
}

/** The next message of a program. Rejects with what it ended with, if it ends before. */
async function hear(child: ChildProcess, program: string): Promise<unknown> {
  const done = new AbortController();
  const { signal } = done;
  const message = once(child, 'message', { signal }).then(([told]) => told as unknown);
  const end = once(child, 'exit', { signal }).then(([code]) => {
    throw new Error(`${program} ended with ${code}.`);
  });
  try {
    return await Promise.race([message, end]);
  } finally {
    done.abort();
  }
}
