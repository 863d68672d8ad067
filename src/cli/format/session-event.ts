import type { SessionEvent } from '../../app/live/session-event.js';
import type { ErrorCode } from '../../core/error-codes.js';
import type { Problem } from '../../core/outcome.js';
import { count } from '../../core/words/index.js';
import type { WantedPort } from '../../io/ports/index.js';
import { ACTION_WORDS } from './live.js';
import { formatSettings } from './settings.js';

/** A printed session event: one line, its level, and its code if it has one. */
export interface EventLine {
  readonly level: 'info' | 'warn' | 'error';
  readonly text: string;
  readonly code?: ErrorCode;
}

/** What lets an input that was cut off pass again. Short, since a notice of the page has 200 characters for all. */
const PANIC = 'a panic (SIGUSR1, the page, another input) lets it pass again.';

/**
 * An event of a live session, in one line for the player.
 * @example formatEvent({ kind: 'input-reopened', input: 'Keys' }).text  // '"Keys" is listened to again.'
 */
export function formatEvent(event: SessionEvent): EventLine {
  switch (event.kind) {
    case 'opened':
      return info(`${namePort(event.port)} is open${event.port.own ? ', for other programs' : ''}.`);
    case 'lost':
      return warn(`${namePort(event.port)} is gone. It is opened again when it is back.`);
    case 'waiting':
    case 'failed': {
      const { message, advice, code } = event.error;
      return { level: 'warn', text: formatReason(event.port, { message, advice, code }), code };
    }
    case 'drained':
      return event.cause === 'panic' ? info('Everything is silent.') : quiet(event.cause);
    case 'mended':
      return warn(`"${event.port}" refused a message. Everything on it was silenced and set up again.`);
    case 'fuse-open':
      return {
        level: 'error',
        code: 'RATE_FUSE',
        text: `"${event.input}" sent more than ${event.most} messages within a second and is cut off. Find out what sends so much; ${PANIC}`,
      };
    case 'loop-found':
      return {
        level: 'error',
        code: 'FEEDBACK_LOOP',
        text: `"${event.input}" hears what is sent to "${event.outlet}" and is cut off. Unplug what leads from there to here; ${PANIC}`,
      };
    case 'input-reopened':
      return info(`"${event.input}" is listened to again.`);
    case 'zones-told':
      return info(`"${event.input}" ${formatZones(event.lower, event.upper)}.`);
    case 'acted':
      return info(`Asked to ${ACTION_WORDS[event.action]}.`);
    case 'tuning-changed':
      return info(`Now ${formatSettings(event.settings, 'live')}.`);
    case 'preset-loaded':
      return info(`The preset is ${event.name}.`);
    case 'reloaded':
      return info(`The settings were read again: ${formatSettings(event.settings.tuner, 'live')}.`);
    case 'drift-held':
      return info(event.on ? 'The drift is held where it is.' : 'The drift is free again.');
    case 'bypassed':
      return info(event.on ? '12 equal.' : 'Pure again.');
    case 'take-begun':
      return info(`Recording into ${event.folder}.`);
    case 'take-ended': {
      const gap =
        event.dropped === 0 ? '' : ` ${event.dropped} more are missing, since the disk was too slow.`;
      return info(`The take is in ${event.folder}: ${count(event.messages, 'message')}.${gap}`);
    }
    case 'take-gap':
      return warn(`The disk is too slow for the take in ${event.folder}: some of it is missing.`);
    case 'take-failed': {
      const { message, advice, code } = event.error;
      return {
        level: 'error',
        text: `The recording has ended with what was written so far; the playing is not touched. ${message} ${advice}`,
        code,
      };
    }
    case 'take-later':
      return info(
        event.directory === undefined
          ? 'From the next start on nothing is recorded; until then it stays as it is.'
          : `Takes go to ${event.directory} from the next start on; until then it stays as it is.`,
      );
    case 'fault':
      return {
        level: 'error',
        code: 'LIVE_FAULT',
        text: `A fault of our own; everything was silenced, and it goes on. ${event.error instanceof Error ? event.error.message : String(event.error)}`,
      };
  }
}

/** Why a port isn't open, and what becomes of it. */
function formatReason(port: WantedPort, { code, message, advice }: Problem): string {
  switch (code) {
    case 'PORT_MISSING':
      return `Waiting for ${port.direction} "${port.name}": plug it in or start it. ${advice}`;
    case 'PORT_BUSY':
      return `${message} ${advice} Leeway keeps trying, and says when it is open.`;
    default:
      return `${namePort(port)}: ${message} ${advice}`;
  }
}

function namePort({ direction, name }: WantedPort): string {
  return `${direction === 'input' ? 'Input' : 'Output'} "${name}"`;
}

/** What a keyboard plays by its MPE zones. */
function formatZones(lower: number, upper: number): string {
  const zones = [
    lower > 0 ? `a lower zone of ${count(lower, 'member channel')}` : '',
    upper > 0 ? `an upper zone of ${count(upper, 'member channel')}` : '',
  ].filter((zone) => zone !== '');
  return zones.length === 0 ? 'plays plain channels' : `plays MPE: ${zones.join(' and ')}`;
}

function info(text: string): EventLine {
  return { level: 'info', text };
}

function warn(text: string): EventLine {
  return { level: 'warn', text };
}

function quiet(cause: string): EventLine {
  return { level: 'info', text: cause === 'stop' ? 'All notes were ended.' : '' };
}
