import { parseMidiFile } from '../../core/midi/index.js';
import { FEED_VERSION, type FilePart, parseUpstream, type Upstream } from '../../core/protocol/index.js';
import { toPiece } from '../../core/score/index.js';
import { isSameToken } from './origin-check.js';
import type { FromServer } from './protocol.js';
import { CLOSE, type Viewer } from './viewer.js';

/** What the message handler needs of its server. */
export interface MessageContext {
  readonly now: () => number;
  readonly tell: (message: FromServer) => void;
}

/** Checks messages of viewers, and passes on the orders of those who may control the session. */
export class MessageHandler {
  readonly #token: string;
  readonly #hooks: MessageContext;
  refused = 0;

  constructor(token: string, hooks: MessageContext) {
    this.#token = token;
    this.#hooks = hooks;
  }

  /** Takes a message of a viewer. Never throws. */
  hear(viewer: Viewer, text: string): void {
    const nowMs = this.#hooks.now();
    const refuse = (...why: [Parameters<Viewer['refuse']>[1], string]): void => {
      this.refused++;
      viewer.refuse(nowMs, ...why);
    };
    if (!viewer.takes(nowMs)) {
      refuse('TOO_FAST', 'That was too much at once; some of it was left out.');
      return;
    }
    const parsed = parseUpstream(text);
    if (!parsed.ok) {
      refuse(parsed.problem.code === 'FEED_LONG' ? 'TOO_LARGE' : 'MALFORMED', parsed.problem.message);
      return;
    }
    const message = parsed.value;
    if (message.type === 'hello') {
      this.#greet(viewer, message, nowMs);
    } else if (!viewer.mayControl) {
      refuse(
        'NO_TOKEN',
        'You may look and listen. To play, open the address that Leeway printed, token and all.',
      );
    } else if (message.type === 'piece' && message.act === 'file') {
      this.#takePart(viewer, message, nowMs);
    } else {
      this.#hooks.tell({ kind: 'order', viewer: viewer.id, order: message });
    }
  }

  #greet(viewer: Viewer, hello: Extract<Upstream, { type: 'hello' }>, nowMs: number): void {
    if (hello.version !== FEED_VERSION) {
      viewer.close(CLOSE.version);
      return;
    }
    const { token } = hello;
    const mayControl = token !== undefined && isSameToken(token, this.#token);
    viewer.mayControl ||= mayControl;
    viewer.tell({ type: 'rights', mayControl: viewer.mayControl });
    if (token === undefined || mayControl) return;
    this.refused++;
    viewer.refuse(
      nowMs,
      'WRONG_TOKEN',
      'This address is of another session. Open the one that Leeway printed last.',
    );
  }

  #takePart(viewer: Viewer, part: FilePart, nowMs: number): void {
    const arrived = viewer.assembly.take(part);
    if (!arrived.ok) {
      const { message, advice } = arrived.problem;
      viewer.refuse(nowMs, 'BAD_FILE', `${toSentence(message)} ${advice}`);
      return;
    }
    viewer.tell({ type: 'taken', upload: part.upload, part: part.part });
    if (arrived.value === undefined) return;
    const { name, base64 } = arrived.value;
    if (/\.toml$/i.test(name)) {
      const text = Buffer.from(base64, 'base64').toString();
      this.#hooks.tell({ kind: 'story', viewer: viewer.id, name, text });
      return;
    }
    const parsed = parseMidiFile(Buffer.from(base64, 'base64'));
    if (!parsed.ok) {
      const { message, advice } = parsed.problem;
      viewer.refuse(nowMs, 'BAD_FILE', `${name}: ${toSentence(message)} ${advice}`.slice(0, 200));
      return;
    }
    const piece = toPiece(parsed.value.file);
    this.#hooks.tell({
      kind: 'piece',
      viewer: viewer.id,
      piece: { ...piece, name, title: piece.title || name },
    });
  }
}

function toSentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1).replace(/\.$/, '')}.`;
}
