import { render } from '../../src/app/render.js';
import { META, type MidiFile, type TrackEvent } from '../../src/core/midi/index.js';
import { toTimeline } from '../../src/core/score/index.js';
import { Ensemble, type SampleFormat } from '../../src/core/sound/index.js';
import { VOICES, type Voice } from '../../src/core/theory/index.js';

/**
 * How fast sound is made, and in how much memory: `npm run bench:render`. Sixteen notes at every moment, written to
 * nowhere; both passes and the rounding to samples count. The budget is twenty times real time. The first row is a piece
 * of ten minutes, for the memory; the others are of two. Judged by processor time: it is one thread's work, and what else
 * the machine does is not its fault.
 */
const VOICES_AT_ONCE = 16;
const BUDGET = 20;
const BUDGET_MEGABYTES = 300;

console.log('| voice | minutes | bits | times real time | by processor time | budget | kept |');
console.log('|---|--:|---|--:|--:|--:|---|');
await tell(VOICES[0], 10, '16');
for (const voice of VOICES) await tell(voice, 2, '16');
for (const format of ['24', 'float'] as const) await tell(VOICES[0], 2, format);
const megabytes = process.resourceUsage().maxRSS / 1024;
console.log(`\nmost memory: ${megabytes.toFixed(0)} MB, budget ${BUDGET_MEGABYTES}`);
if (megabytes > BUDGET_MEGABYTES) process.exitCode = 1;

async function tell(voice: Voice, minutes: number, format: SampleFormat): Promise<void> {
  const { wall, processor } = await measure(voice, minutes, format);
  const kept = processor >= BUDGET ? 'yes' : 'no';
  const times = `${wall.toFixed(1)} | ${processor.toFixed(1)}`;
  console.log(`| ${voice.name} | ${minutes} | ${format} | ${times} | ${BUDGET} | ${kept} |`);
  if (processor < BUDGET) process.exitCode = 1;
}

async function measure(voice: Voice, minutes: number, format: SampleFormat) {
  const rate = 48_000;
  const timeline = toTimeline(makePiece(minutes));
  const from = process.hrtime.bigint();
  const before = process.cpuUsage();
  const { seconds } = await render(
    timeline,
    { rate, format, gainDb: undefined, createPlayers: () => [new Ensemble(voice, rate)] },
    { write: async () => {}, progress: () => {} },
  );
  const used = process.cpuUsage(before);
  return {
    wall: seconds / (Number(process.hrtime.bigint() - from) / 1e9),
    processor: seconds / ((used.user + used.system) / 1e6),
  };
}

/** Sixteen voices, each striking a note a second, its pitch bent ten times in between. */
function makePiece(minutes: number): MidiFile {
  const events: TrackEvent[] = [];
  const add = (tick: number, status: number, data1: number, data2: number) =>
    events.push({ kind: 'channel', tick, status, data1, data2 });
  for (let second = 0; second < 60 * minutes; second++) {
    for (let voice = 0; voice < VOICES_AT_ONCE; voice++) {
      // Fifteen channels, the tenth is percussion's; one carries two voices.
      const channel = voice < 9 ? voice : 10 + ((voice - 9) % 6);
      const key = 36 + 3 * voice + (second % 5);
      const tick = 960 * second + 7 * voice;
      add(tick, 0x90 | channel, key, 90);
      for (let i = 1; i <= 10; i++) add(tick + 80 * i, 0xe0 | channel, (37 * i) % 128, 60 + (i % 8));
      add(tick + 959, 0x80 | channel, key, 64);
    }
  }
  events.sort((a, b) => a.tick - b.tick);
  const tick = events[events.length - 1].tick;
  events.push({ kind: 'meta', tick, type: META.endOfTrack, data: new Uint8Array(0) });
  return {
    format: 0,
    division: { kind: 'ppq', ticksPerQuarter: 480 },
    headerExtra: new Uint8Array(0),
    chunks: [{ kind: 'track', events }],
    wrapper: 'none',
  };
}
