import {
  type Downstream,
  type FilePart,
  type Play,
  toFileParts,
  type Upstream,
} from '../../core/protocol/index.js';
import { Link } from '../feed/link.js';
import { Holding } from '../play/holding.js';
import { Listener } from '../sound/listener.js';
import { SessionHistory } from './session-history.js';
import { BLANK, type PageEvent, reduce, type State } from './state.js';

/**
 * The store of the page: the state, the history, the link, the sound and held keys. The components read it and call it
 * for each action.
 */
export class AppStore {
  readonly log = new SessionHistory();
  readonly sound = new Listener();
  readonly holding = new Holding((order) => this.play(order));
  state: State = BLANK;
  readonly #link: Link;
  readonly #watchers = new Set<() => void>();
  #upload: FilePart[] = [];
  #uploads = 0;
  #session: string | undefined;
  #isDue = false;

  constructor(url: string, token: string | undefined) {
    this.#link = new Link(url, token, {
      state: (link) => {
        if (link !== 'open') {
          this.sound.forget();
          this.holding.releaseAll();
          this.#upload = [];
        }
        this.dispatch({ kind: 'link', link });
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
      this.log.begin(message.course, message.session);
      this.log.add(message.frame);
      // At a relay a snapshot comes every few seconds: what sounds on is not struck again.
      if (message.session !== this.#session) this.sound.forget();
      this.#session = message.session;
      this.sound.take(message.frame);
    }
    if (message.type === 'frame') {
      this.log.add(message);
      this.sound.take(message);
    }
    if (message.type === 'taken') this.#sendPart();
    if (message.type === 'refused') this.#upload = [];
    this.dispatch({ kind: 'message', message });
  }
}

/** Base64 of a file, in pieces: browsers limit the number of arguments. */
function toBase64(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(text);
}
