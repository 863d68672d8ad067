import { Line, type RowEvent } from '../line/index.js';
import { type EntryFact, forStrategies, STRATEGIES } from '../protocol/index.js';
import {
  createTuner,
  fromSnapshot,
  nextWakeMs,
  type Strategy,
  type Tuner,
  type TunerEvent,
  type TunerSettings,
  toSettings,
  toSnapshot,
} from '../tuner/index.js';
import { toEntryFact } from './ledger-facts.js';
import type { Tuners } from './note-facts.js';
import { type NoteChannel, NoteRouting } from './note-routing.js';
import { readRows, UNSENT } from './session-rows.js';
import type { ReplicasSnapshot } from './snapshot.js';

/** Leeways of the strategies that have one, in cents. */
export type Leeways = Readonly<Record<'pull' | 'anchored', number>>;

/** Most ledger entries that wait for a frame; older ones are dropped. */
const MOST_ENTRIES = 240;

/**
 * A copy of a session's tuner, and tuners of the other strategies beside it. They take the same events, so the replica
 * of the sounding strategy equals the session's tuner to the last cent.
 *
 * When another strategy is heard (`hear`), all go on as they are: the session takes over the replica of that one. When the
 * strategy is changed (`changeSettings`), the music continues from its present state, as in the session: the replica of
 * the new strategy takes the state of the old one, and drops its own.
 */
export class TunerReplicas {
  readonly #lines: Record<Strategy, Line>;
  readonly #counts: Record<Strategy, number>;
  readonly #routing: NoteRouting;
  #strategy: Strategy;
  #strikeMs: number | null;
  #notes: number;
  #entries: EntryFact[] = [];
  /** Pass of the playing piece, for the entries. */
  pass = 0;

  /** @param snapshot of earlier ones */
  constructor(settings: TunerSettings, leeways: Leeways, snapshot?: ReplicasSnapshot) {
    this.#strategy = snapshot?.strategy ?? settings.strategy;
    this.#lines = forStrategies((which) =>
      this.#toLine(
        which,
        snapshot === undefined
          ? createTuner(toStrategy(settings, which, leeways))
          : fromSnapshot(snapshot.tuners[which]),
      ),
    );
    this.#counts = { ...(snapshot?.counts ?? forStrategies(() => 0)) };
    this.#strikeMs = snapshot?.strikeMs ?? null;
    this.#routing = new NoteRouting(snapshot?.routing);
    this.#notes = snapshot?.notes ?? 0;
  }

  get tuners(): Tuners {
    return forStrategies((which) => this.#lines[which].tuner);
  }

  get strategy(): Strategy {
    return this.#strategy;
  }

  /** The replica of the session's tuner. */
  get sounding(): Tuner {
    return this.#lines[this.#strategy].tuner;
  }

  get strikeMs(): number | null {
    return this.#strikeMs;
  }

  /** Notes struck since the session began. */
  get notes(): number {
    return this.#notes;
  }

  sentAs(id: number): NoteChannel {
    return this.#routing.of(id);
  }

  /** Time up to which everything was reported, in milliseconds; 0 before anything was. */
  get nowMs(): number {
    const { nowMs } = this.sounding;
    return nowMs === -Infinity ? 0 : nowMs;
  }

  /** Whether anything moves by itself under any strategy. */
  get isMoving(): boolean {
    return STRATEGIES.some((which) => nextWakeMs(this.#lines[which].tuner) !== Infinity);
  }

  get newEntries(): readonly EntryFact[] {
    return this.#entries;
  }

  /** The new ledger entries since the last call, oldest first. */
  takeEntries(): EntryFact[] {
    return this.#entries.splice(0);
  }

  /** Takes rows as the session wrote them. @returns whether they have anything but the time */
  takeRows(rows: Float64Array): boolean {
    let isNews = false;
    const routing = {
      begin: (id: number) => this.#routing.begin(id),
      noteSent: (channel: number) => {
        isNews = true;
        this.#routing.noteSent(channel);
      },
      bendSent: (channel: number, bend: number) => {
        isNews = true;
        this.#routing.bendSent(channel, bend);
      },
    };
    const take = (event: RowEvent) => {
      if (event.kind !== 'time') isNews = true;
      this.take(event);
    };
    readRows(rows, take, routing);
    return isNews;
  }

  take(event: RowEvent): void {
    this.#routing.endEvent();
    if (event.kind === 'restart') this.#routing.clear();
    if (event.kind === 'note-on') {
      this.#strikeMs = event.atMs;
      this.#notes++;
    }
    this.#takeAll(() => event);
  }

  /** Changes the settings, each strategy with its own leeway. */
  changeSettings(atMs: number, settings: TunerSettings, leeways: Leeways): void {
    const { strategy } = settings;
    if (strategy !== this.#strategy) {
      // The very same settings end an open strike, so there is a snapshot that another can continue from.
      this.#takeAll((tuner) => ({ kind: 'settings', atMs, settings: tuner.settings }));
      this.#lines[strategy] = this.#toLine(strategy, fromSnapshot(toSnapshot(this.sounding)!));
      this.#strategy = strategy;
    }
    this.#takeAll((_, which) => ({ kind: 'settings', atMs, settings: toStrategy(settings, which, leeways) }));
  }

  /**
   * Begins again: no strategy has heard anything, and the ledgers are empty. Settings continue, and so does the count of
   * notes; what is known of the outlet's bends is left.
   * @param nextId number of the next note
   */
  begin(nextId: number): void {
    for (const which of STRATEGIES) {
      const tuner = createTuner(this.#lines[which].tuner.settings, undefined, nextId);
      this.#lines[which] = this.#toLine(which, tuner);
      this.#counts[which] = 0;
    }
    this.#routing.clear();
    this.#strikeMs = null;
    this.#entries = [];
  }

  /** Takes rows of the past, which counts no notes. @param before called with each event before it is taken */
  replay(rows: Float64Array, before: (event: RowEvent) => void): void {
    const notes = this.#notes;
    const take = (event: RowEvent) => {
      before(event);
      this.take(event);
    };
    readRows(rows, take, UNSENT);
    this.#notes = notes;
  }

  /** Another strategy sounds from now on. No tuner changes. */
  hear(strategy: Strategy): void {
    this.#strategy = strategy;
  }

  /** Other leeways of strategies that don't sound: the settings have that of the one that does. */
  changeLeeways(atMs: number, leeways: Leeways): void {
    for (const which of ['pull', 'anchored'] as const) {
      const line = this.#lines[which];
      const settings = toStrategy(this.sounding.settings, which, leeways);
      if (which === this.#strategy || settings.leewayCents === line.tuner.settings.leewayCents) continue;
      line.take({ kind: 'settings', atMs, settings });
    }
  }

  /** The state as plain data; `undefined` while a strike is open. */
  toSnapshot(): ReplicasSnapshot | undefined {
    const tuners = forStrategies((which) => toSnapshot(this.#lines[which].tuner));
    if (!areComplete(tuners)) return undefined;
    return {
      tuners,
      strategy: this.#strategy,
      routing: this.#routing.toSnapshot(),
      counts: { ...this.#counts },
      strikeMs: this.#strikeMs,
      notes: this.#notes,
    };
  }

  #takeAll(toEvent: (tuner: Tuner, which: Strategy) => TunerEvent): void {
    for (const which of STRATEGIES) {
      const line = this.#lines[which];
      line.take(toEvent(line.tuner, which));
    }
  }

  /** A line that plays nothing, and reports its ledger's entries. */
  #toLine(which: Strategy, tuner: Tuner): Line {
    return new Line(tuner, () => [], {
      start: (_atMs, note) => {
        if (which === this.#strategy) this.#routing.begin(note.id);
      },
      end: (_atMs, note) => {
        if (which === this.#strategy) this.#routing.end(note.id);
      },
      enter: (entry) => {
        const n = ++this.#counts[which];
        this.#entries.push(toEntryFact(tuner, entry, { n, pass: this.pass }));
        if (this.#entries.length > MOST_ENTRIES) this.#entries.shift();
      },
    });
  }
}

function areComplete<T>(all: Readonly<Record<Strategy, T | undefined>>): all is Record<Strategy, T> {
  return STRATEGIES.every((which) => all[which] !== undefined);
}

/** Settings as they are under a strategy, with its own leeway unless it is the one that sounds. */
export function toStrategy(settings: TunerSettings, strategy: Strategy, leeways: Leeways): TunerSettings {
  if (strategy === settings.strategy) return settings;
  const has = strategy === 'pull' || strategy === 'anchored';
  const leewayCents = has ? leeways[strategy] : toSettings({ strategy }).leewayCents;
  return Object.freeze({ ...settings, strategy, leewayCents });
}
