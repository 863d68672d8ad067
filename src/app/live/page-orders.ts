import type { SessionMessage } from '../../core/monitor/index.js';
import { LIMITS, type PieceOrder, type StoryOrder, toLength } from '../../core/protocol/index.js';
import type { Strategy } from '../../core/tuner/index.js';
import type { Clock } from '../../io/clock/index.js';
import type { FromServer } from '../../io/server/index.js';
import { parseStory } from '../story/parse-story.js';
import { findBuiltIn } from '../story/read-story.js';
import type { Story } from '../story/story.js';
import { control } from './control.js';
import type { LiveSession } from './live-session.js';
import { PageKeys } from './page-keys.js';
import { PagePieces, type Refusal } from './page-pieces.js';
import { PageStage } from './page-stage.js';
import type { NamedPiece } from './piece-stretch.js';
import { StoryTeller } from './story-teller.js';

/** What viewers ask for. */
export type ViewerMessage = Extract<FromServer, { kind: 'order' | 'piece' | 'story' | 'left' }>;

/** What the orders need of their page. */
export interface OrderEdges {
  readonly clock: Clock;
  readonly session: () => LiveSession | undefined;
  readonly tell: (message: SessionMessage) => void;
  /** Another strategy is to be heard. */
  readonly hear: (session: LiveSession, strategy: Strategy) => void;
}

/** Stories that viewers may choose from. */
const MOST_STORIES = 8;

type Seek = Extract<PieceOrder, { act: 'seek' }>;

/** Carries out what viewers ask for: keys, settings, pieces, the stage, stories. */
export class PageOrders {
  readonly pieces: PagePieces;
  readonly stage: PageStage;
  readonly #edges: OrderEdges;
  readonly #builtIn: readonly NamedPiece[];
  readonly #keys: PageKeys;
  readonly #teller: StoryTeller;
  #stories: readonly Story[];
  #seek: Seek | undefined;
  #seeking: NodeJS.Immediate | undefined;

  constructor(builtIn: readonly NamedPiece[], stories: readonly Story[], edges: OrderEdges) {
    this.#edges = edges;
    this.#builtIn = builtIn;
    this.#stories = stories;
    const { clock, session, tell } = edges;
    this.#keys = new PageKeys((bytes) => session()?.playOnPage(bytes));
    this.stage = new PageStage((stage) => tell({ kind: 'stage', stage }));
    this.pieces = new PagePieces(builtIn, {
      clock,
      session,
      tell,
      passed: (pass) => this.#teller.passed(pass),
    });
    this.#teller = new StoryTeller({
      pieces: this.pieces,
      hear: (value) => this.#control({ type: 'control', what: 'hear', value }),
      show: (changes) => this.stage.change(changes),
    });
  }

  /** Names of the stories there are. */
  get stories(): readonly string[] {
    return this.#stories.map(({ title }) => title);
  }

  /** Opens a story. @returns whether there is one of that name */
  openStory(name: string): boolean {
    const story = this.#stories.find(({ title }) => title === name);
    if (story !== undefined) this.#teller.open(story);
    return story !== undefined;
  }

  /** Carries out an order. @returns why it was refused, if it was */
  take(message: ViewerMessage): Refusal | undefined {
    if (message.kind === 'left') {
      this.#keys.leave(message.viewer);
      this.stage.leave(message.viewer);
      return undefined;
    }
    if (message.kind === 'order' && message.order.type === 'piece' && message.order.act === 'seek') {
      this.#seekLater(message.order);
      return undefined;
    }
    this.#seekNow();
    switch (message.kind) {
      case 'piece':
        this.pieces.receive(message.piece);
        return undefined;
      case 'story':
        return this.#receiveStory(message.name, message.text);
      case 'order':
        return this.#carryOut(message.viewer, message.order);
    }
  }

  /** Every viewer has gone. */
  leaveAll(): void {
    this.#keys.leaveAll();
    this.stage.leave();
  }

  /** Tells viewers what another server may not know. */
  tellAgain(): void {
    this.stage.change({});
    this.pieces.tellAgain();
  }

  /** Stops the piece and releases all keys of the page. */
  silence(): void {
    this.#seek = undefined;
    this.pieces.player.stop();
    this.#keys.leaveAll();
  }

  #carryOut(viewer: number, order: Extract<ViewerMessage, { kind: 'order' }>['order']): Refusal | undefined {
    switch (order.type) {
      case 'play':
        if (order.act === 'on') this.#keys.press(viewer, order.key, order.velocity);
        else if (order.act === 'off') this.#keys.lift(viewer, order.key);
        else if (order.act === 'sustain') this.#keys.sustain(viewer, order.down);
        else this.#keys.liftAll(viewer);
        return undefined;
      case 'control':
        this.#control(order);
        return undefined;
      case 'piece':
        return this.pieces.take(order);
      case 'stage':
        this.stage.take(viewer, order);
        return undefined;
      case 'story':
        return this.#takeStory(order);
    }
  }

  #control(order: Parameters<typeof control>[1]): void {
    const { session, hear } = this.#edges;
    const its = session();
    if (its !== undefined) control(its, order, (strategy) => hear(its, strategy));
  }

  #takeStory(order: StoryOrder): Refusal | undefined {
    switch (order.act) {
      case 'open':
        if (this.openStory(order.name)) return undefined;
        return {
          code: 'UNKNOWN_STORY',
          text: toLength(`There is no story called ${order.name}.`, LIMITS.text),
        };
      case 'next':
        this.#teller.next();
        return undefined;
      case 'back':
        this.#teller.back();
        return undefined;
      case 'close':
        this.#teller.close();
        return undefined;
    }
  }

  /** A story that a viewer has sent takes the place of one of its name, and begins. */
  #receiveStory(name: string, text: string): Refusal | undefined {
    const parsed = parseStory(text, name, (piece) => findBuiltIn(piece, this.#builtIn));
    if (!parsed.ok) {
      const [{ message, advice }] = parsed.mistakes;
      return { code: 'BAD_FILE', text: toLength(`${message} ${advice}`, LIMITS.text) };
    }
    const { story } = parsed;
    const others = this.#stories.filter(({ title }) => title !== story.title);
    this.#stories = [...others.slice(0, MOST_STORIES - 1), story];
    this.#teller.open(story);
    return undefined;
  }

  /** A hand on a slider asks for many places: of those that come at once only the last counts. */
  #seekLater(order: Seek): void {
    this.#seek = order;
    this.#seeking ??= setImmediate(() => this.#seekNow());
  }

  #seekNow(): void {
    clearImmediate(this.#seeking);
    this.#seeking = undefined;
    if (this.#seek !== undefined) this.pieces.take(this.#seek);
    this.#seek = undefined;
  }
}
