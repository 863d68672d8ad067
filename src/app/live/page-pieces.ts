import type { SessionMessage } from '../../core/monitor/index.js';
import { LIMITS, type PieceOrder, type Refused, toLength } from '../../core/protocol/index.js';
import type { Clock } from '../../io/clock/index.js';
import type { LiveSession } from './live-session.js';
import { PiecePlayer, type PieceStart } from './piece-player.js';
import { toScoreFact } from './piece-score.js';
import type { NamedPiece } from './piece-stretch.js';
import { toPumpPiece } from './pump-piece.js';

/** Pieces beside the built-in ones that can be started again by their names. */
const MOST_OTHERS = 8;

/** Why an order was refused. */
export type Refusal = Pick<Refused, 'code' | 'text'>;

/** What the pieces need of their page. */
export interface PiecesEdges {
  readonly clock: Clock;
  readonly session: () => LiveSession | undefined;
  readonly tell: (message: SessionMessage) => void;
  /** Another pass has begun, or the piece has ended: `undefined`. */
  readonly passed: (pass: number | undefined) => void;
}

/** The pieces of the page: those built in, those sent by viewers, exercises; and the one that plays. */
export class PagePieces {
  readonly player: PiecePlayer;
  readonly #builtIn: readonly NamedPiece[];
  readonly #edges: PiecesEdges;
  /** Files sent by viewers, exercises, pieces of stories: the last ones. */
  #others: readonly NamedPiece[] = [];
  #told: NamedPiece | undefined;
  #isCutTold = false;

  constructor(builtIn: readonly NamedPiece[], edges: PiecesEdges) {
    this.#builtIn = builtIn;
    this.#edges = edges;
    this.player = new PiecePlayer(edges.clock, {
      play: (bytes) => edges.session()?.playPiece(bytes),
      release: () => edges.session()?.leavePiece(),
      rebuild: (past) => {
        edges.session()?.hearing.rebuild(past, edges.tell);
        if (past.isCut) this.#tellCut();
      },
      tell: (playing) => {
        edges.tell({ kind: 'playing', playing });
        this.#tellScore();
        edges.passed(playing?.pass.n);
      },
    });
  }

  /** A piece by its name; `undefined`: there is none. */
  find(name: string): NamedPiece | undefined {
    return [...this.#builtIn, ...this.#others].find((one) => one.name === name);
  }

  /** Starts a piece by its name. @returns whether there is one */
  start(name: string, start: PieceStart): boolean {
    const piece = this.find(name);
    if (piece !== undefined) this.player.start(piece, start);
    return piece !== undefined;
  }

  /** Adds a piece: it can be started by its name. One of the same name goes. */
  add(piece: NamedPiece): void {
    if (this.#builtIn.includes(piece)) return;
    this.#others = [piece, ...this.#others.filter(({ name }) => name !== piece.name)].slice(0, MOST_OTHERS);
  }

  /** Starts a piece that a viewer has sent. */
  receive(piece: NamedPiece): void {
    this.add(piece);
    this.player.start(piece, { tempo: 1, loop: false });
  }

  /** Builds a comma pump on the tonic of home. A formula with a mistake gives the reason. */
  build(formula: string): NamedPiece | Refusal {
    const { tonic } = this.#edges.session()!.settings.tuner.home;
    const built = toPumpPiece(formula, tonic);
    if (built.ok) return built.value;
    const { message, advice } = built.problem;
    const text = `${message.charAt(0).toUpperCase()}${message.slice(1)}. ${advice}`;
    return { code: 'BAD_FORMULA', text: toLength(text, LIMITS.text) };
  }

  /** Carries out an order of a viewer. @returns why it was refused, if it was */
  take(order: Exclude<PieceOrder, { act: 'file' }>): Refusal | undefined {
    const { player } = this;
    switch (order.act) {
      case 'start':
        return this.start(order.name, order) ? undefined : noPiece(order.name);
      case 'pump': {
        const piece = this.build(order.formula);
        if ('code' in piece) return piece;
        this.add(piece);
        player.start(piece, { tempo: order.tempo, loop: true });
        return undefined;
      }
      case 'stop':
        player.stop();
        return undefined;
      case 'pause':
        player.pause(order.value);
        return undefined;
      case 'chord':
        player.step(order.value);
        return undefined;
      case 'seek':
        player.seek(order.pass, order.value);
        return undefined;
      case 'stretch':
        player.setStretch(order.value ?? undefined);
        return undefined;
      case 'start-over':
        player.startOver();
        return undefined;
      case 'tempo':
        player.setTempo(order.value);
        return undefined;
      case 'loop':
        player.setLoop(order.value);
        return undefined;
    }
  }

  /** Tells viewers everything of the piece again. */
  tellAgain(): void {
    this.#told = undefined;
    this.player.tell();
  }

  #tellScore(): void {
    const { piece } = this.player;
    if (piece === this.#told) return;
    this.#told = piece;
    this.#edges.tell({ kind: 'score', score: piece === undefined ? null : toScoreFact(piece) });
  }

  #tellCut(): void {
    if (this.#isCutTold) return;
    this.#isCutTold = true;
    const text =
      'The piece has been played so long that only the present pass was worked out again: the drift begins with it.';
    this.#edges.tell({ kind: 'notice', level: 'info', text });
  }
}

function noPiece(name: string): Refusal {
  return { code: 'UNKNOWN_PIECE', text: toLength(`There is no piece called ${name}.`, LIMITS.text) };
}
