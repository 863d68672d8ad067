import {
  type Downstream,
  type FilePart,
  type PieceOrder,
  type Play,
  type PointerFact,
  type Tuning,
  toFileParts,
  type Upstream,
} from '../../core/protocol/index.js';
import { type Origin, parseTonic } from '../../core/theory/index.js';
import { SPANS, type Span } from '../drift/scales.js';
import { Link } from '../feed/link.js';
import { type HeardNote, toHeardNotes } from '../heard/heard-chord.js';
import { Holding } from '../play/holding.js';
import { Listener } from '../sound/listener.js';
import { SessionHistory } from './session-history.js';
import { BLANK, type PageEvent, reduce, type State } from './state.js';

/** An order about the piece. */
type PieceAct = PieceOrder extends infer One ? (One extends PieceOrder ? Omit<One, 'type'> : never) : never;

/** How long a tuning one has asked for is shown without an answer. */
const PATIENCE_MS = 1000;

/**
 * The store of the page: the state, the history, the link, the sound and held keys. The components read it and call it
 * for each action.
 */
export class AppStore {
  readonly log = new SessionHistory();
  readonly sound = new Listener(() => this.changed());
  readonly holding = new Holding((order) => this.play(order));
  state: State = BLANK;
  readonly #link: Link;
  readonly #watchers = new Set<() => void>();
  #upload: FilePart[] = [];
  #uploads = 0;
  #session: string | undefined;
  #isDue = false;
  #isHelpOpen = false;
  #isPointing = false;
  /** An onlooker's own choice; a player's, until the session has answered. */
  #chosen: { readonly tuning: Tuning; readonly atMs: number } | undefined;

  constructor(url: string, token: string | undefined) {
    this.#link = new Link(url, token, {
      state: (link) => {
        if (link !== 'open') {
          this.sound.forget();
          this.holding.releaseAll();
          this.#upload = [];
        }
        this.dispatch({ kind: 'link', link });
        // Who has no token asks for nothing, and isn't answered.
        if (link === 'open' && token === undefined)
          this.dispatch({ kind: 'message', message: { type: 'rights', mayControl: false } });
      },
      message: (message) => this.#take(message),
    });
  }

  start(): void {
    this.#link.start();
  }

  /** Calls `watcher` after changes, at most once an animation frame; @returns how to stop. */
  watch(watcher: () => void): () => void {
    this.#watchers.add(watcher);
    return () => this.#watchers.delete(watcher);
  }

  dispatch(event: PageEvent): void {
    this.state = reduce(this.state, event);
    this.changed();
  }

  changed(): void {
    if (this.#isDue) return;
    this.#isDue = true;
    requestAnimationFrame(() => {
      this.#isDue = false;
      for (const watcher of this.#watchers) watcher();
    });
  }

  /** The tuning that goes to MIDI and to the loudspeakers of the room. */
  get sent(): Tuning {
    return this.state.frame?.sounding ?? (this.state.frame === undefined ? 'anchored' : 'equal');
  }

  /** The sounding notes in the heard tuning, from the lowest up. */
  get heardNotes(): readonly HeardNote[] {
    const { frame, settings } = this.state;
    if (frame === undefined) return [];
    return toHeardNotes(frame.notes, this.heard, this.sent, toOrigin(settings?.tonic ?? 'C'));
  }

  /**
   * The tuning this page sounds and shows. With the right to play it is the one of the room, and choosing another
   * changes it for all. An onlooker's choice is for that page alone.
   */
  get heard(): Tuning {
    const chosen = this.#chosen;
    if (chosen === undefined) return this.sent;
    const isWaiting = performance.now() - chosen.atMs < PATIENCE_MS;
    return !this.state.mayControl || isWaiting ? chosen.tuning : this.sent;
  }

  /** Chooses the heard tuning. @param tuning undefined: an onlooker hears what the room hears again */
  hear(tuning: Tuning | undefined): void {
    this.#chosen = tuning === undefined ? undefined : { tuning, atMs: performance.now() };
    if (tuning !== undefined) this.send({ type: 'control', what: 'hear', value: tuning });
    this.#showHeard();
    // Without an answer by then, what is sent is heard and shown again, whether or not a frame comes.
    if (this.state.mayControl) setTimeout(() => this.#showHeard(), PATIENCE_MS + 1);
  }

  #showHeard(): void {
    this.sound.setHeard(this.heard);
    this.changed();
  }

  /** Whether an onlooker has chosen a tuning other than by following the room. */
  get hasOwnTuning(): boolean {
    return !this.state.mayControl && this.#chosen !== undefined;
  }

  /** Starts, steps or changes the piece, with the right to. */
  piece(order: PieceAct): void {
    this.send({ type: 'piece', ...order } as PieceOrder);
  }

  /** What the chart of the drift shows. */
  span: Span = SPANS[1][0];

  /** The piece chosen to be started next; empty: the first one. */
  chosenPiece = '';

  /** Starts the chosen piece, in a loop. */
  startPiece(): void {
    const name = this.chosenPiece || this.state.pieces[0]?.name;
    if (name !== undefined) this.piece({ act: 'start', name, tempo: 1, loop: true });
  }

  /** Whether the list of keys and terms is open. */
  get isHelpOpen(): boolean {
    return this.#isHelpOpen;
  }

  setHelp(isOpen: boolean): void {
    this.#isHelpOpen = isOpen;
    this.changed();
  }

  /** Whether the mouse points at things on every stage. */
  get isPointing(): boolean {
    return this.#isPointing;
  }

  setPointing(isPointing = !this.#isPointing): void {
    this.#isPointing = isPointing;
    if (!isPointing) this.point(null);
    this.changed();
  }

  /** Points at a place on every stage, or at nothing. */
  point(value: PointerFact | null): void {
    this.send({ type: 'stage', act: 'point', value });
  }

  /** Sends an order, with the right to. */
  send(order: Upstream): void {
    if (this.state.mayControl) this.#link.send(order);
  }

  play(order: Play): void {
    this.send(order);
  }

  /** Silence: here at once, and everywhere with the right to. */
  allNotesOff(): void {
    this.holding.releaseAll();
    this.sound.allNotesOff();
    this.send({ type: 'play', act: 'all-off' });
    this.send({ type: 'control', what: 'panic' });
  }

  /** Sounds the present frame, in the heard tuning. */
  #hearFrame(): void {
    const { frame, mayControl } = this.state;
    if (frame === undefined) return;
    const chosen = this.#chosen;
    // The session has answered: from now on the page follows it.
    if (mayControl && chosen !== undefined && this.sent === chosen.tuning) this.#chosen = undefined;
    this.sound.take(frame, this.heard);
  }

  async upload(file: File): Promise<void> {
    const bytes = new Uint8Array(await file.arrayBuffer());
    const parts = toFileParts(++this.#uploads, file.name, toBase64(bytes), bytes.length);
    if (!parts.ok) {
      const { message, advice } = parts.problem;
      this.dispatch({ kind: 'notice', level: 'error', text: `${message}. ${advice}` });
      return;
    }
    this.#upload = parts.value;
    this.#sendPart();
  }

  #sendPart(): void {
    const part = this.#upload.shift();
    if (part !== undefined) this.send(part);
  }

  #take(message: Downstream): void {
    if (message.type === 'snapshot') {
      this.log.begin(message.course, message.session, message.passes);
      this.log.add(message.frame);
      // At a relay a snapshot comes every few seconds: what sounds on is not struck again.
      if (message.session !== this.#session) this.sound.forget();
      this.#session = message.session;
    }
    if (message.type === 'frame') this.log.add(message);
    if (message.type === 'taken') this.#sendPart();
    if (message.type === 'refused') this.#upload = [];
    this.dispatch({ kind: 'message', message });
    if (message.type === 'snapshot' || message.type === 'frame') this.#hearFrame();
  }
}

/** The name of 1/1: the tonic of home. */
export function toOrigin(tonic: string): Origin {
  const parsed = parseTonic(tonic);
  return parsed.ok ? parsed.value : { fifths: 0 };
}

/** Base64 of a file, in pieces: browsers limit the number of arguments. */
function toBase64(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(text);
}
