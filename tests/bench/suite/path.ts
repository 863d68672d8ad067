import { LiveSession } from '../../../src/app/live/live-session.js';
import {
  DEFAULT_INPUT,
  DEFAULT_LIVE_SETTINGS,
  DEFAULT_OUTLET,
  type OutletConfig,
} from '../../../src/app/live/live-settings.js';
import { warmUp } from '../../../src/app/live/warm-up.js';
import { LiveParser, type MidiSink } from '../../../src/core/midi/index.js';
import { NoTime } from '../live/no-time.js';
import { quantile } from '../quantile.js';
import { CROWD_KEYS, toCrowd } from './crowd.js';
import { amount, type Figure, ratio, tellFigures } from './figure.js';

/**
 * The note path against a bare forwarder: the same bytes into a session that tunes them and into a parser whose messages
 * go straight on, both at ports that take no time, with ten notes held. A strike every 10 ms of a clock of their own.
 */
const HELD = [48, 52, 55, 60, 64, 67, 71, 74, 76, 79].map((key) => ({ part: 0, key }));
const STRIKES = 20_000;
/** The same with far more held, over two kinds of outlet. The first is what the others are told by. */
const CROWDS = [16, 256, 2000];
const CROWD_STRIKES = 500;
const CROWD_BUDGET = 3;
const KINDS = ['mpe', 'multichannel'] as const;

const forwarded = new NoTime();
forwardAll(forwarded);
const bare = time(forwarded, HELD, STRIKES, () => {});
const full = timeSession(DEFAULT_OUTLET, HELD, STRIKES);

tellFigures([
  amount('path/median', 'callback to last send, ten notes held, median', quantile(full, 0.5), 'µs', 50),
  amount('path/p99', 'callback to last send, p99', quantile(full, 0.99), 'µs', 300),
  ratio('path/forwarder', 'the same ÷ a bare forwarder, median', quantile(full, 0.5) / quantile(bare, 0.5)),
  ...KINDS.flatMap(measureCrowds),
]);

/** Medians of a strike in a crowd, beside one in the smallest. */
function measureCrowds(kind: OutletConfig['kind']): Figure[] {
  const [base, ...others] = CROWDS.map((sounding) =>
    quantile(timeSession({ ...DEFAULT_OUTLET, kind }, toCrowd(sounding), CROWD_STRIKES), 0.5),
  );
  return others.map((median, i) => {
    const what = `callback to last send over ${kind}, ${CROWDS[i + 1]} notes held ÷ ${CROWDS[0]}, median`;
    return ratio(`path/${kind}-${CROWDS[i + 1]}`, what, median / base, CROWD_BUDGET);
  });
}

/** Microseconds of strikes that are tuned, over an outlet of one's choice. */
function timeSession(outlet: OutletConfig, held: readonly HeldKey[], strikes: number): number[] {
  const ports = new NoTime();
  let nowMs = 0;
  const session = new LiveSession(
    { ...DEFAULT_LIVE_SETTINGS, inputs: [DEFAULT_INPUT], outlets: [outlet], fuse: Infinity },
    { ports, now: () => nowMs, tell: () => {}, wake: () => {} },
  );
  warmUp(session.settings, () => performance.now());
  session.start();
  const times = time(ports, held, strikes, () => {
    nowMs += 10;
    session.tick();
  });
  session.stop();
  return times;
}

/** Bytes in, messages out, nothing else. */
function forwardAll(ports: NoTime): void {
  const out = ports.createOutput('Out');
  const message = new Uint8Array(3);
  const parser = new LiveParser();
  const sink: MidiSink = {
    channel(status, data1, data2) {
      message[0] = status;
      message[1] = data1;
      message[2] = data2;
      out.send(message);
    },
    system: (bytes) => out.send(bytes),
  };
  ports.createInput('In', (bytes) => parser.feed(bytes, sink));
}

/** A key that is held, and the channel it is played on. */
type HeldKey = ReturnType<typeof toCrowd>[number];

/** Microseconds of each strike over held notes, which were struck one by one. */
function time(ports: NoTime, held: readonly HeldKey[], strikes: number, pass: () => void): number[] {
  const times: number[] = [];
  for (const { part, key } of held) {
    // A big crowd is no strike of one moment.
    if (held.length > HELD.length) pass();
    ports.play(0x90 | part, key, 80);
  }
  const [lowest, count] = held.length > HELD.length ? [CROWD_KEYS, 128 - CROWD_KEYS] : [84, 12];
  for (let n = 0; n < 2 * strikes; n++) {
    pass();
    const key = lowest + (n % count);
    const from = process.hrtime.bigint();
    ports.play(0x90, key, 80);
    const took = Number(process.hrtime.bigint() - from) / 1000;
    if (n >= strikes) times.push(took);
    ports.play(0x80, key, 64);
  }
  return times;
}
