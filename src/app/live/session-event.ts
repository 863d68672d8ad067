import type { TunerSettings } from '../../core/tuner/index.js';
import type { LeewayError } from '../../io/leeway-error.js';
import type { PortPlace, WantedPort } from '../../io/ports/index.js';
import type { Action, LiveSettings } from './live-settings.js';

/** Why everything was silenced. */
export type DrainCause = 'start' | 'stop' | 'panic' | 'settings' | 'fuse' | 'loop' | 'fault';

/** Something people should know of a session, as data: the command line and the page have the words. */
export type SessionEvent =
  | { readonly kind: 'opened'; readonly port: WantedPort; readonly place: PortPlace }
  | { readonly kind: 'lost'; readonly port: WantedPort; readonly place: PortPlace }
  | { readonly kind: 'waiting' | 'failed'; readonly port: WantedPort; readonly error: LeewayError }
  | { readonly kind: 'drained'; readonly cause: DrainCause }
  /** An outlet's port refused a message, and everything on it was silenced and set up again. */
  | { readonly kind: 'mended'; readonly port: string; readonly error: LeewayError | undefined }
  /** An input sent more than any player could, and nothing of it passes until a panic. */
  | { readonly kind: 'fuse-open'; readonly input: string; readonly most: number }
  /** An input heard what an outlet sent, and nothing of it passes until a panic. */
  | { readonly kind: 'loop-found'; readonly input: string; readonly outlet: string }
  | { readonly kind: 'input-reopened'; readonly input: string }
  /** A keyboard has told its MPE zones: how many members each has; 0: it has none. */
  | { readonly kind: 'zones-told'; readonly input: string; readonly lower: number; readonly upper: number }
  | { readonly kind: 'acted'; readonly action: Action }
  | { readonly kind: 'tuning-changed'; readonly settings: TunerSettings }
  /** A preset is loaded, under its name; its tuning follows. */
  | { readonly kind: 'preset-loaded'; readonly name: string }
  | { readonly kind: 'reloaded'; readonly settings: LiveSettings }
  | { readonly kind: 'drift-held' | 'bypassed'; readonly on: boolean }
  /** A take is recorded into this folder. */
  | { readonly kind: 'take-begun'; readonly folder: string }
  | {
      readonly kind: 'take-ended';
      readonly folder: string;
      readonly messages: number;
      /** What was dropped while the disk was too slow. */
      readonly dropped: number;
    }
  /** The first message was dropped: the take has a gap. */
  | { readonly kind: 'take-gap'; readonly folder: string }
  /** The take is over, since it can't be written; playing continues. */
  | { readonly kind: 'take-failed'; readonly error: LeewayError }
  /** The settings name another folder for takes, used from the next start. */
  | { readonly kind: 'take-later'; readonly directory: string | undefined }
  /** A fault of this program on the note path; everything was silenced. */
  | { readonly kind: 'fault'; readonly error: unknown };
