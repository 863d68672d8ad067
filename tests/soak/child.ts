import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** One of the programs beside the stage, in a process of its own. */
export class Child<Report> {
  readonly #child: ChildProcess;

  private constructor(child: ChildProcess) {
    this.#child = child;
  }

  /** Starts it and waits until it says `ready`. Rejects with what it ended with, if it ends before. */
  static async start<Report>(program: string, argv: readonly string[]): Promise<Child<Report>> {
    const child = fork(fileURLToPath(new URL(program, import.meta.url)), argv);
    await new Promise<void>((resolve, reject) => {
      child.once('message', () => resolve());
      child.once('exit', (code) => reject(new Error(`${program} ended with ${code}.`)));
    });
    return new Child(child);
  }

  tell(what: 'rest' | 'go'): void {
    this.#child.send(what);
  }

  report(): Promise<Report> {
    return new Promise((resolve, reject) => {
      this.#child.once('message', (message) => resolve(message as Report));
      this.#child.once('exit', (code) => reject(new Error(`A program beside the stage ended with ${code}.`)));
      this.#child.send('report');
    });
  }

  leave(): void {
    this.#child.disconnect();
  }
}
