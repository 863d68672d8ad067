import { join } from 'node:path';
import type { LineListener } from '../../core/line/index.js';
import type { LedgerEntry } from '../../core/tuner/index.js';
import type { Clock, Ticker } from '../../io/clock/index.js';
import { GrowingFile, type OpenNew } from '../../io/files/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import { toLiveJson } from './live-json.js';
import type { LiveSettings } from './live-settings.js';
import type { InputListener, SessionEdges } from './session-edges.js';
import type { SessionEvent } from './session-event.js';
import { toSplits } from './split-settings.js';
import { clearTakes, makeTakeFolder, TAKE_TICKS_PER_MS, TakeFile } from './take-folder.js';
import { toTakeLine } from './take-line.js';

/** How often played messages are written, in milliseconds: a quarter of what a take may lose to a kill. */
export const TAKE_FLUSH_MS = 250;

/** Most ledger lines stored while they can't be written; more are dropped, and counted. */
const MOST_LINES = 20_000;

/** Increases when a field of the ledger's lines changes its meaning or is removed, not when one is added. */
const TAKE_VERSION = 1;

/** What a recorder needs from outside. */
export interface TakeEdges {
  readonly clock: Clock;
  /** Called when the take begins, ends, fails or has a gap. */
  readonly tell: (event: SessionEvent) => void;
  readonly openNew?: OpenNew;
}

/**
 * Records a live session in a new folder: one MIDI file for each input, unchanged, one for each outlet, and
 * `ledger.jsonl`.
 *
 * On the note path it only copies into memory; every quarter of a second, off the path, that is written to the files.
 * So what was played a second ago is on disk, whatever happens to the program. If a file can't be written the take ends
 * and is reported, and the session plays on.
 *
 * @example
 * const take = new TakeRecorder('takes', settings, new Date(), { clock, tell });
 * await take.start();
 * const session = new LiveSession(settings, { ...edges, ...take.edges });
 * await take.stop();  // after the session
 */
export class TakeRecorder {
  /** The session's notifications for it. Events come by `note`. */
  readonly edges: Required<Pick<SessionEdges, 'listener' | 'inputListener' | 'onSent'>>;
  readonly #directory: string;
  readonly #startedAt: Date;
  readonly #edges: TakeEdges;
  #settings: LiveSettings;
  #folder = '';
  #startMs = 0;
  #isOn = false;
  readonly #files = new Map<string, TakeFile>();
  #ledger: GrowingFile | undefined;
  #ledgerBytes = 0;
  #lines: { readonly atMs: number; readonly what: LedgerEntry | SessionEvent }[] = [];
  #droppedLines = 0;
  #isGapReported = false;
  #ticker: Ticker | undefined;
  #writing: Promise<void> | undefined;
  #clearing: Promise<void> | undefined;

  /**
   * @param startedAt the name of its folder
   */
  constructor(directory: string, settings: LiveSettings, startedAt: Date, edges: TakeEdges) {
    this.#directory = directory;
    this.#settings = settings;
    this.#startedAt = startedAt;
    this.#edges = edges;
    this.edges = {
      inputListener: this.#toInputListener(),
      onSent: this.#onSent,
      listener: this.#toListener(),
    };
  }

  get isOn(): boolean {
    return this.#isOn;
  }

  /** Messages and lines dropped because the disk was too slow. */
  get dropped(): number {
    let sum = this.#droppedLines;
    for (const { buffer } of this.#files.values()) sum += buffer.dropped;
    return sum;
  }

  /**
   * Makes the folder and its files. Never rejects: failures are reported, and then nothing is recorded. Leftovers of
   * killed programs in earlier takes are removed meanwhile.
   */
  async start(): Promise<void> {
    const { clock, openNew, tell } = this.#edges;
    try {
      this.#clearing = clearTakes(this.#directory);
      this.#folder = await makeTakeFolder(this.#directory, this.#startedAt);
      this.#ledger = await GrowingFile.create(join(this.#folder, 'ledger.jsonl'), openNew);
      this.#startMs = clock.now();
      await this.#writeLines([
        {
          kind: 'leeway take',
          version: TAKE_VERSION,
          startedAt: this.#startedAt.toISOString(),
          ticksPerMs: TAKE_TICKS_PER_MS,
        },
        { atMs: 0, kind: 'settings', ...toLiveJson(this.#settings) },
      ]);
      this.#isOn = true;
      this.#addFiles();
      await this.#write();
    } catch (error) {
      return this.#fail(error);
    }
    tell({ kind: 'take-begun', folder: this.#folder });
    this.#ticker = clock.every(TAKE_FLUSH_MS, () => void this.flush());
  }

  note(event: SessionEvent): void {
    if (!this.#isOn) return;
    this.#keep(this.#edges.clock.now(), event);
    if (event.kind !== 'reloaded') return;
    this.#settings = event.settings;
    this.#addFiles();
  }

  /** Writes what has come so far, unless it is writing already. Never rejects. */
  flush(): Promise<void> {
    if (!this.#isOn) return Promise.resolve();
    this.#writing ??= this.#write()
      .catch((error) => this.#fail(error))
      .finally(() => {
        this.#writing = undefined;
      });
    return this.#writing;
  }

  /** Writes the rest and closes everything, without the seams of a growing file. Never rejects. */
  async stop(): Promise<void> {
    this.#ticker?.stop();
    await this.#clearing;
    await this.#writing;
    await this.flush();
    if (!this.#isOn) return;
    this.#isOn = false;
    try {
      await this.#ledger?.close();
      for (const file of this.#files.values()) await file.finish();
    } catch (error) {
      return this.#fail(error);
    }
    let messages = 0;
    for (const file of this.#files.values()) messages += file.messages;
    this.#edges.tell({ kind: 'take-ended', folder: this.#folder, messages, dropped: this.dropped });
  }

  #toInputListener(): InputListener {
    return {
      channel: (atMs, port, status, data1, data2) => {
        if (!this.#isOn) return;
        this.#fileOf('in', port).buffer.channel(atMs - this.#startMs, status, data1, data2);
      },
      system: (atMs, port, bytes) => {
        if (this.#isOn) this.#fileOf('in', port).buffer.message(atMs - this.#startMs, bytes);
      },
    };
  }

  readonly #onSent = (port: string, bytes: Uint8Array): void => {
    if (!this.#isOn) return;
    this.#fileOf('out', port).buffer.message(this.#edges.clock.now() - this.#startMs, bytes);
  };

  #toListener(): LineListener {
    return { enter: (entry) => this.#keep(entry.atMs, entry) };
  }

  #keep(atMs: number, what: LedgerEntry | SessionEvent): void {
    if (!this.#isOn) return;
    if (this.#lines.length < MOST_LINES) this.#lines.push({ atMs, what });
    else this.#droppedLines++;
  }

  /** The file of a port; a new port gets one. */
  #fileOf(direction: TakeFile['direction'], port: string): TakeFile {
    const key = direction + port;
    const known = this.#files.get(key);
    if (known !== undefined) return known;
    let number = 1;
    for (const file of this.#files.values()) if (file.direction === direction) number++;
    const file = new TakeFile(direction, number, port);
    this.#files.set(key, file);
    return file;
  }

  /** Makes a file for every port of the settings, whether it is used or not. */
  #addFiles(): void {
    for (const { port } of this.#settings.inputs) this.#fileOf('in', port);
    for (const { port } of this.#settings.outlets) this.#fileOf('out', port);
  }

  async #write(): Promise<void> {
    const { inputs, splits } = this.#settings;
    const names = inputs.flatMap((input) => toSplits(splits, input));
    const lines = this.#lines.splice(0);
    await this.#writeLines(lines.map(({ atMs, what }) => toTakeLine(atMs, what, this.#startMs, names)));
    for (const file of [...this.#files.values()]) await file.write(this.#folder, this.#edges.openNew);
    if (this.#isGapReported || this.dropped === 0) return;
    this.#isGapReported = true;
    this.#edges.tell({ kind: 'take-gap', folder: this.#folder });
  }

  async #writeLines(lines: readonly object[]): Promise<void> {
    if (this.#ledger === undefined) return;
    await this.#ledger.check();
    if (lines.length === 0) return;
    const bytes = new TextEncoder().encode(lines.map((line) => `${JSON.stringify(line)}\n`).join(''));
    await this.#ledger.write(bytes, this.#ledgerBytes);
    this.#ledgerBytes += bytes.length;
  }

  /** Ends the take; what was written stays. */
  async #fail(cause: unknown): Promise<void> {
    this.#isOn = false;
    this.#ticker?.stop();
    this.#lines = [];
    const error = cause instanceof LeewayError ? cause : toFault(cause);
    this.#edges.tell({ kind: 'take-failed', error });
    await this.#ledger?.close().catch(() => undefined);
    for (const file of this.#files.values()) await file.abandon();
  }
}

function toFault(cause: unknown): LeewayError {
  const message = `The take can't be written: ${cause instanceof Error ? cause.message : String(cause)}.`;
  return new LeewayError({ code: 'BUG', message, advice: 'Please report it.' }, { cause });
}
