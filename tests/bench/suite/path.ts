import { LiveSession } from '../../../src/app/live/live-session.js';
import { STOCK_INPUT, STOCK_LIVE_SETTINGS, STOCK_OUTLET } from '../../../src/app/live/live-settings.js';
import { warmUp } from '../../../src/app/live/warm-up.js';
import { LiveParser, type MidiSink } from '../../../src/core/midi/index.js';
import { NoTime } from '../live/no-time.js';
import { quantile } from '../quantile.js';
import { amount, ratio, tellFigures } from './figure.js';

/**
 * The note path against a bare forwarder: the same bytes into a session that tunes them and into a parser whose messages
 * go straight on, both at ports that take no time, with ten notes held. A strike every 10 ms of a clock of their own.
 */
const HELD = [48, 52, 55, 60, 64, 67, 71, 74, 76, 79];
const STRIKES = 20_000;

const forwarded = new NoTime();
forwardAll(forwarded);
const bare = time(forwarded, () => {});

const tuned = new NoTime();
let nowMs = 0;
const session = new LiveSession(
  { ...STOCK_LIVE_SETTINGS, inputs: [STOCK_INPUT], outlets: [STOCK_OUTLET], fuse: Infinity },
  { ports: tuned, now: () => nowMs, tell: () => {}, wake: () => {} },
);
warmUp(session.settings);
session.start();
const full = time(tuned, () => {
  nowMs += 10;
  session.tick();
});
session.stop();

const microseconds = (times: readonly number[], share: number) => quantile(times, share);
tellFigures([
  amount('path/median', 'callback to last send, ten notes held, median', microseconds(full, 0.5), 'µs', 50),
  amount('path/p99', 'callback to last send, p99', microseconds(full, 0.99), 'µs', 300),
  ratio('path/forwarder', 'the same ÷ a bare forwarder, median', quantile(full, 0.5) / quantile(bare, 0.5)),
]);

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

/** Microseconds of each strike over ten held notes. */
function time(ports: NoTime, pass: () => void): number[] {
  const times: number[] = [];
  for (const key of HELD) ports.play(0x90, key, 80);
  for (let n = 0; n < 2 * STRIKES; n++) {
    pass();
    const key = 84 + (n % 12);
    const from = process.hrtime.bigint();
    ports.play(0x90, key, 80);
    const took = Number(process.hrtime.bigint() - from) / 1000;
    if (n >= STRIKES) times.push(took);
    ports.play(0x80, key, 64);
  }
  return times;
}
