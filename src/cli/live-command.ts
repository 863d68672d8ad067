import { type LiveFigures, readFigures } from '../app/live/live-figures.js';
import { LiveOwner } from '../app/live/live-owner.js';
import { LiveSession } from '../app/live/live-session.js';
import type { SessionEvent } from '../app/live/session-event.js';
import { TakeRecorder } from '../app/live/take-recorder.js';
import { warmUp } from '../app/live/warm-up.js';
import { notifyReady, watchVitalSigns } from '../io/clock/index.js';
import { watchForChanges } from '../io/files/index.js';
import type { RawOptions } from './choice-options.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { createLog, type LiveLog } from './live-log.js';
import { gatherLiveSettings } from './live-options.js';
import { complain, say } from './say.js';
import { formatError } from './words/errors.js';
import { formatFigures } from './words/figures.js';
import { formatLive } from './words/live.js';
import { tellEvent } from './words/session-event.js';
import type { World } from './world.js';

/**
 * `leeway live [SETTINGS.toml]`: plays until it is asked to stop. Everything it leaves behind is silent, whatever it was
 * stopped by. Throws a LeewayError if the settings can't be read or MIDI can't be used.
 */
export async function runLive(
  path: string | undefined,
  options: RawOptions,
  world: World,
): Promise<ExitCode> {
  const gathered = await gatherLiveSettings(path, options);
  if (!gathered.ok) {
    complain(world, gathered.mistakes);
    return EXIT.mistake;
  }
  const { settings, remarks } = gathered;
  say(
    world.stderr,
    remarks.map((remark) => `leeway: note: ${remark}.`),
  );
  const ports = await world.openPorts();
  const log = createLog(world);
  const owner = new LiveOwner(world.clock);
  const tell = (event: SessionEvent): void => log.tell(tellEvent(event));
  const take =
    settings.takeDirectory === undefined
      ? undefined
      : new TakeRecorder(settings.takeDirectory, settings, new Date(), { clock: world.clock, tell });
  const session = new LiveSession(settings, {
    ports,
    now: world.clock.now,
    tell: (event) => {
      take?.note(event);
      tell(event);
    },
    wake: owner.wake,
    ...take?.edges,
  });
  if (world.stdout.isTTY === true) say(world.stdout, formatLive(settings));
  const vitals = watchVitalSigns();
  try {
    await take?.start();
    warmUp(settings);
    owner.start(session);
    log.tell({ level: 'info', text: toGreeting(world) });
    notifyReady(world.env);
    const code = await runUntilStopped(session, path, options, log, world, () => vitals.read());
    const figures = readFigures(session, vitals.read());
    owner.stop();
    tellFigures(figures, log);
    return code;
  } finally {
    owner.stop();
    await take?.stop();
    vitals.stop();
    ports.close();
    log.flush();
  }
}

function toGreeting({ stdout }: World): string {
  const how = stdout.isTTY === true ? 'Stop with Ctrl+C.' : 'SIGTERM stops it.';
  return `Ready to play. ${how} Start low: keep the volume down and mind your ears, above all with headphones.`;
}

/** Everything that may be asked of it while it runs, until something asks for its end. */
function runUntilStopped(
  session: LiveSession,
  path: string | undefined,
  options: RawOptions,
  log: LiveLog,
  world: World,
  readVitals: () => Parameters<typeof readFigures>[1],
): Promise<ExitCode> {
  const reload = async (): Promise<void> => {
    try {
      const gathered = await gatherLiveSettings(path, options);
      if (gathered.ok) {
        session.reload(gathered.settings);
        for (const remark of gathered.remarks) log.tell({ level: 'info', text: `Note: ${remark}.` });
        return;
      }
      for (const mistake of gathered.mistakes)
        log.tell({ level: 'error', text: formatError(mistake, false) });
    } catch (error) {
      log.tell({ level: 'error', text: formatError(error, false) });
    }
    log.tell({ level: 'warn', text: 'The settings stay as they were.' });
  };

  return new Promise((resolve) => {
    const endings = [
      world.on('SIGINT', () => end(EXIT.done)),
      world.on('SIGTERM', () => end(EXIT.done)),
      // A terminal that is closed ends it; a service is told to read its settings again.
      world.on('SIGHUP', () => (path === undefined ? end(EXIT.done) : void reload())),
      world.on('SIGUSR1', () => session.panic()),
      world.on('SIGUSR2', () => tellFigures(readFigures(session, readVitals()), log)),
      world.on('fault', (cause) => {
        session.stop();
        log.tell({ level: 'error', code: 'BUG', text: formatError(cause, true) });
        end(EXIT.bug);
      }),
      // Whatever ends the process without asking: the last chance to be silent.
      world.on('exit', () => session.stop()),
      ...(path === undefined ? [] : [watchForChanges(path, () => void reload())]),
    ];
    function end(code: ExitCode): void {
      for (const stop of endings) stop();
      resolve(code);
    }
  });
}

function tellFigures(figures: LiveFigures, log: LiveLog): void {
  for (const text of formatFigures(figures)) log.tell({ level: 'info', text });
}
