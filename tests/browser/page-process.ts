import { LeewayProcess } from '../support/live-process.js';

/** Starting a program is slow where two processors do a dozen things. */
const START_MS = 60_000;

/** The real program with its page, as a user starts it. */
export class PageProcess {
  readonly program: LeewayProcess;
  /** As it was printed, token and all. */
  readonly playerUrl: string;

  private constructor(program: LeewayProcess, playerUrl: string) {
    this.program = program;
    this.playerUrl = playerUrl;
  }

  /**
   * Starts it and waits until it has said where the page is.
   * @example await PageProcess.start(['demo'])
   */
  static async start(argv: readonly string[], mayFail = false): Promise<PageProcess> {
    const program = new LeewayProcess(argv, mayFail);
    try {
      const line = await program.says('The page: ', START_MS);
      return new PageProcess(program, line.slice('The page: '.length));
    } catch (error) {
      program.kill('SIGKILL');
      throw error;
    }
  }

  /** The address without the token, for whoever looks on. */
  get viewerUrl(): string {
    return this.playerUrl.replace(/#.*/, '');
  }

  /** Host and port. */
  get host(): string {
    return new URL(this.playerUrl).host;
  }

  /** Where the feed is, without its path. */
  get feedAddress(): string {
    return `ws://${this.host}`;
  }

  get token(): string {
    return new URL(this.playerUrl).hash.replace('#token=', '');
  }

  /** Stops it as a service manager would. @returns its exit code */
  stop(): Promise<number | string | null> {
    this.program.kill('SIGTERM');
    return this.program.ended;
  }
}
