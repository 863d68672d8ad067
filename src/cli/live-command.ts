import { dirname } from 'node:path';
import { type LiveFigures, readFigures } from '../app/live/live-figures.js';
import type { LivePage } from '../app/live/live-page.js';
import { LiveSession } from '../app/live/live-session.js';
import type { LiveSettings } from '../app/live/live-settings.js';
import type { SessionEvent } from '../app/live/session-event.js';
import { SessionTimer } from '../app/live/session-timer.js';
import { TakeRecorder } from '../app/live/take-recorder.js';
import { warmUp } from '../app/live/warm-up.js';
import { notifyReady, type VitalSigns, watchVitalSigns } from '../io/clock/index.js';
import { WatchedFiles } from '../io/files/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { NO_PORTS, type PortSystem } from '../io/ports/index.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatError } from './format/errors.js';
import { formatFigures } from './format/figures.js';
import { formatLive } from './format/live.js';
import { toLiveRemarks } from './format/live-remarks.js';
import { formatEvent } from './format/session-event.js';
import { createLog, type LiveLog } from './live-log.js';
import { createPage, openPage, readPageContents } from './live-page.js';
import { Readiness } from './live-ready.js';
import { findPageToken } from './page-token.js';
import { complain, say } from './say.js';
import { gatherLiveSettings, type PageChoice, type RawOptions, readPageOptions } from './settings/index.js';
import type { World } from './world.js';

/**
 * `leeway live [SETTINGS.toml]`: plays until it is stopped. However it ends, it leaves silence. Throws a LeewayError if
 * the settings can't be read, the page can't be served, or MIDI can't be used and there is no page either.
 * @param piece a built-in piece to start with, in a loop
 */
export async function runLive(
  path: string | undefined,
  options: RawOptions,
  world: World,
  piece?: string,
): Promise<ExitCode> {
  const mistakes: LeewayError[] = [];
  const pageChoice = readPageOptions(options, mistakes);
  const gathered = await gatherLiveSettings(path, options);
  if (!gathered.ok || mistakes.length > 0) {
    complain(world, [...(gathered.ok ? [] : gathered.mistakes), ...mistakes]);
    return EXIT.mistake;
  }
  const remarks = [...gathered.remarks, ...toLiveRemarks(gathered.settings)];
  say(
    world.stderr,
    remarks.map((remark) => `leeway: note: ${remark}.`),
  );
  const contents = pageChoice && (await readPageContents(pageChoice));
  if (contents?.ok === false) {
    complain(world, contents.mistakes);
    return EXIT.mistake;
  }
  const { ports, missing } = await openPorts(world, pageChoice);
  const log = createLog(world);
  const owner = new SessionTimer(world.clock);
  let take: TakeRecorder | undefined;
  const vitals = watchVitalSigns();
  let page: LivePage | undefined;
  try {
    if (pageChoice !== undefined && contents !== undefined)
      page = createPage(pageChoice, contents, {
        token: await findPageToken(
          path === undefined ? '.' : dirname(path),
          pageChoice.hasNewToken,
          world.env,
        ),
        clock: world.clock,
        vitals: () => vitals.read(),
        log,
      });
    const toUsable = (settings: LiveSettings) => (missing === undefined ? settings : withoutPorts(settings));
    const settings = toUsable(gathered.settings);
    const tell = (event: SessionEvent): void => {
      const line = formatEvent(event);
      log.tell(line);
      page?.told(event);
      if (!SEEN_EVENTS.includes(event.kind))
        page?.notice(line.level === 'warn' ? 'warning' : line.level, line.text);
      if (PORT_EVENTS.includes(event.kind)) tellIfReady();
    };
    if (settings.takeDirectory !== undefined)
      take = new TakeRecorder(settings.takeDirectory, settings, new Date(), { clock: world.clock, tell });
    const session = new LiveSession(settings, {
      ports,
      now: world.clock.now,
      tell: (event) => {
        take?.note(event);
        tell(event);
      },
      wake: owner.wake,
      ...take?.edges,
      listener: { ...page?.listener, ...take?.edges.listener },
      routing: page?.routing,
    });
    const readiness = new Readiness(session, page !== undefined);
    const tellIfReady = (): void => {
      const text = readiness.look();
      if (text !== undefined) log.tell({ level: 'info', text });
    };
    if (world.stdout.isTTY === true) say(world.stdout, formatLive(settings));
    if (missing !== undefined)
      log.tell({
        level: 'info',
        text: `${missing.message} So the page and the built-in pieces are the input.`,
      });
    if (page !== undefined && pageChoice !== undefined) await openPage(page, session, pageChoice, log);
    await take?.start();
    warmUp(settings, world.clock.now);
    // Before the ports are opened: their drivers' threads inherit it.
    const isFirst = await world.goFirst();
    owner.start(session);
    if (piece !== undefined) begin(piece, page, pageChoice?.story);
    if (isFirst) log.tell({ level: 'info', text: 'The music goes before other programs.' });
    log.tell({ level: 'info', text: `${readiness.greet()} ${toGreeting(world)}` });
    notifyReady(world.env);
    const { presetPaths } = gathered;
    const asked: Asked = {
      path,
      presetPaths,
      options,
      log,
      world,
      toUsable,
      readVitals: () => vitals.read(),
    };
    const code = await runUntilStopped(session, asked);
    page?.silence();
    const figures = readFigures(session, vitals.read());
    owner.stop();
    tellFigures(figures, log);
    return code;
  } finally {
    page?.silence();
    owner.stop();
    await take?.stop();
    vitals.stop();
    ports.close();
    await page?.close();
    log.flush();
  }
}

/** Events after which there may be something to play on and to, or no more. */
const PORT_EVENTS: readonly SessionEvent['kind'][] = ['opened', 'lost', 'failed', 'reloaded'];

/** What the page shows by itself, where a notice would only cover it. */
const SEEN_EVENTS: readonly SessionEvent['kind'][] = ['acted', 'tuning-changed', 'bypassed'];

/** The ports, or none and why, if the page is enough. */
async function openPorts(
  world: World,
  page: PageChoice | undefined,
): Promise<{ ports: PortSystem; missing: LeewayError | undefined }> {
  try {
    return { ports: await world.openPorts(), missing: undefined };
  } catch (error) {
    if (page === undefined || !(error instanceof LeewayError) || error.exitCode !== EXIT.noMidi) throw error;
    return { ports: NO_PORTS, missing: error };
  }
}

function withoutPorts(settings: LiveSettings): LiveSettings {
  return Object.freeze({ ...settings, inputs: [], outlets: [], lamps: [] });
}

/** Starts what the demo shows: a story that was given, or else a piece. */
function begin(piece: string, page: LivePage | undefined, story: string | undefined): void {
  const name = story === undefined ? undefined : page?.orders.stories.at(-1);
  if (name !== undefined) page?.orders.openStory(name);
  else if (page?.play(piece, 1, true) === false) throw noPiece(piece);
}

function noPiece(piece: string): LeewayError {
  return new LeewayError({
    code: 'PIECE_MISSING',
    message: `There is no built-in piece called ${piece}.`,
    advice: 'leeway help demo lists them.',
  });
}

function toGreeting({ stdout }: World): string {
  const how = stdout.isTTY === true ? 'Stop with Ctrl+C.' : 'SIGTERM stops it.';
  return `${how} Start low: keep the volume down and mind your ears, above all with headphones.`;
}

/** What is needed to answer requests while it runs. */
interface Asked {
  readonly path: string | undefined;
  readonly presetPaths: readonly string[];
  readonly options: RawOptions;
  readonly log: LiveLog;
  readonly world: World;
  /** The settings as this computer can use them. */
  readonly toUsable: (settings: LiveSettings) => LiveSettings;
  readonly readVitals: () => VitalSigns;
}

/** Answers requests while it runs, until one asks for its end. */
function runUntilStopped(
  session: LiveSession,
  { path, presetPaths, options, log, world, toUsable, readVitals }: Asked,
): Promise<ExitCode> {
  const files = new WatchedFiles(() => void reload());
  const watch = (presets: readonly string[]) => files.watch(path === undefined ? [] : [path, ...presets]);
  const reload = async (): Promise<void> => {
    try {
      const gathered = await gatherLiveSettings(path, options);
      if (gathered.ok) {
        session.reload(toUsable(gathered.settings));
        watch(gathered.presetPaths);
        const remarks = [...gathered.remarks, ...toLiveRemarks(gathered.settings)];
        for (const remark of remarks) log.tell({ level: 'info', text: `Note: ${remark}.` });
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
      world.on('abandoned', () => end(EXIT.done)),
      // A closed terminal ends it; a service reads its settings again.
      world.on('SIGHUP', () => (path === undefined ? end(EXIT.done) : void reload())),
      world.on('SIGUSR1', () => session.panic()),
      world.on('SIGUSR2', () => tellFigures(readFigures(session, readVitals()), log)),
      world.on('fault', (cause) => {
        session.stop();
        log.tell({ level: 'error', code: 'BUG', text: formatError(cause, true) });
        end(EXIT.bug);
      }),
      // Whatever ends the process: the last chance to silence everything.
      world.on('exit', () => session.stop()),
      () => files.watch([]),
    ];
    watch(presetPaths);
    function end(code: ExitCode): void {
      for (const stop of endings) stop();
      resolve(code);
    }
  });
}

function tellFigures(figures: LiveFigures, log: LiveLog): void {
  for (const text of formatFigures(figures)) log.tell({ level: 'info', text });
}
