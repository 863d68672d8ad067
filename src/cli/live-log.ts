import { type Logger, pino } from 'pino';
import pretty from 'pino-pretty';
import type { EventLine } from './format/session-event.js';
import { hasColour } from './say.js';
import type { World } from './world.js';

/** The log of a running session. Nothing is written on the note path. */
export interface LiveLog {
  tell(line: EventLine): void;
  /** Writes all waiting lines at once: before the end. */
  flush(): void;
}

/** Most lines stored while the program has no time to write; more are dropped, and counted. */
const MOST_LINES = 1000;

/**
 * Lines of text on a terminal, JSON otherwise. A line is written in a later turn, after the notes.
 * @example createLog(world).tell({ level: 'info', text: 'Input "Keys" is open.' });
 */
export function createLog(world: World): LiveLog {
  const logger = createLogger(world);
  const lines: EventLine[] = [];
  let dropped = 0;
  let isDue = false;
  const flush = (): void => {
    isDue = false;
    for (const { level, text, code } of lines.splice(0))
      logger[level](code === undefined ? {} : { code }, text);
    if (dropped > 0) logger.warn(`${dropped} lines were left out.`);
    dropped = 0;
  };
  return {
    flush,
    tell(line) {
      if (line.text === '') return;
      if (lines.length < MOST_LINES) lines.push(line);
      else dropped++;
      if (isDue) return;
      isDue = true;
      setImmediate(flush);
    },
  };
}

function createLogger(world: World): Logger {
  const { stdout } = world;
  if (stdout.isTTY !== true) return pino({ base: null }, stdout);
  const stream = pretty({
    destination: stdout,
    sync: true,
    colorize: hasColour(stdout, world),
    translateTime: 'SYS:HH:MM:ss',
    ignore: 'pid,hostname,level',
    messageFormat: (log, key) => String(log[key]) + (typeof log.code === 'string' ? ` [${log.code}]` : ''),
    hideObject: true,
  });
  return pino({ base: null }, stream);
}
