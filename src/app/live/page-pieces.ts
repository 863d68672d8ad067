import type { SessionMessage } from '../../core/monitor/index.js';
import { LIMITS, type PieceOrder, type Refused, toLength } from '../../core/protocol/index.js';
import { toPiece } from '../../core/score/index.js';
import type { Clock } from '../../io/clock/index.js';
import { buildPump } from '../pump.js';
import type { LiveSession } from './live-session.js';
import { PiecePlayer, type PieceStart } from './piece-player.js';
import { toScoreFact } from './piece-score.js';
import type { NamedPiece } from './piece-stretch.js';

/** A chord of an exercise lasts so long. */
const SECONDS_PER_CHORD = 2;

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

/** The pieces of the page: those built in, the last one a viewer has sent, exercises; and the one that plays. */
export class PagePieces {
  readonly player: PiecePlayer;
  readonly #builtIn: readonly NamedPiece[];
  readonly #edges: PiecesEdges;
  /** The last file sent by a viewer: it can be started again by its name. */
  #sent: NamedPiece | undefined;
  /** The last exercise: as above. */
  #exercise: NamedPiece | undefined;
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
    return [...this.#builtIn, this.#sent, this.#exercise].find((one) => one?.name === name);
  }

  /** Starts a piece by its name. @returns whether there is one */
  start(name: string, start: PieceStart): boolean {
    const piece = this.find(name);
    if (piece !== undefined) this.player.start(piece, start);
    return piece !== undefined;
  }

  /** Starts a piece that a viewer has sent. */
  receive(piece: NamedPiece): void {
    this.#sent = piece;
    this.player.start(piece, { tempo: 1, loop: false });
  }

  /** Builds a comma pump in a choir's voices. A formula with a mistake gives the reason. */
  build(formula: string): NamedPiece | Refusal {
    const { tonic } = this.#edges.session()!.settings.tuner.home;
    // A pass ends with its first chord: with the next pass it is struck again where it is then.
    const options = { text: formula, tonic, voices: 4, passes: 1, tied: true } as const;
    const built = buildPump({ ...options, secondsPerChord: SECONDS_PER_CHORD });
    if (!built.ok) {
      const { message, advice } = built.problem;
      const text = `${message.charAt(0).toUpperCase()}${message.slice(1)}. ${advice}`;
      return { code: 'BAD_FORMULA', text: toLength(text, LIMITS.text) };
    }
    const piece = toPiece(built.value.file);
    const name = toLength(formula.trim(), LIMITS.name);
    this.#exercise = { ...piece, name, title: toLength(piece.title || name, LIMITS.text) };
    return this.#exercise;
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
