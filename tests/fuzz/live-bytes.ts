import { DEFAULT_OUTLET } from '../../src/app/live/live-settings.js';
import { LiveParser } from '../../src/core/midi/index.js';
import { STRATEGIES, toSettings } from '../../src/core/tuner/index.js';
import { Stage, stageSettings } from '../support/stage.js';
import { SynthModel } from '../support/synth-model.js';
import { generateProgram, type LiveAct, readProgram } from './live-program.js';
import { type Heard, readStream } from './stream-reference.js';
import { must, type Target } from './target.js';

const KINDS = ['mpe', 'multichannel', 'mts'] as const;
/** Undefined in the standard, and not carried by every port: they are counted. */
const UNCARRIED = [0xf9, 0xfd];
/** All of them, also the one that is for drums by default. */
const ALL_CHANNELS = Array.from({ length: 16 }, (_, channel) => channel);
/** Channels that are tuned where not all are. Neither end of the sixteen is left out, where a zone could be asked for. */
const SOME_CHANNELS = [0, 1, 2, 3, 4, 5, 6, 7, 15];

/**
 * A live session between a keyboard that sends anything at all and a synth. Nothing is thrown, caught or refused; each
 * system message and each message of a channel that isn't tuned comes out as it came; and once the session has
 * stopped, nothing sounds. The messages are those that another reader of the stream finds.
 */
export const liveBytes: Target = {
  name: 'live-bytes',
  share: 80,
  first: [Uint8Array.of(0, 2, 0x90, 60, 64, 2, 0x80, 60, 64)],
  generate: generateProgram,
  check(input) {
    const acts = readProgram(input);
    const streams = toStreams(acts);
    const heard = streams.map(readStream);
    checkParser(acts, heard);
    return checkSession(input[0] ?? 0, acts, heard);
  },
};

/** The bytes between one keyboard and the next. */
function toStreams(acts: readonly LiveAct[]): number[][] {
  const streams: number[][] = [[]];
  for (const act of acts) {
    if (act.kind === 'bytes') streams[streams.length - 1].push(...act.bytes);
    else if (act.kind === 'keys') streams.push([]);
  }
  return streams;
}

function checkParser(acts: readonly LiveAct[], heard: readonly Heard[]): void {
  let stream = 0;
  let parser = new LiveParser();
  let messages: number[][] = [];
  const sink = {
    channel: (status: number, data1: number, data2: number) => {
      const isShort = status >> 4 === 0xc || status >> 4 === 0xd;
      messages.push(isShort ? [status, data1] : [status, data1, data2]);
    },
    system: (bytes: Uint8Array) => {
      messages.push([...bytes]);
    },
  };
  const compare = (): void => {
    const { messages: theirs, ...counts } = heard[stream];
    must(
      String(messages.map(String)) === String(theirs.map(String)),
      () => `messages ${toText(messages)}, not ${toText(theirs)}`,
    );
    for (const [name, count] of Object.entries(counts)) {
      const found = parser.counters[name as keyof typeof counts];
      must(found === count, () => `${name} ${found}, not ${count}`);
    }
  };
  for (const act of acts) {
    if (act.kind === 'bytes') parser.feed(act.bytes, sink);
    if (act.kind !== 'keys') continue;
    compare();
    parser = new LiveParser();
    messages = [];
    stream++;
  }
  compare();
}

function checkSession(chosen: number, acts: readonly LiveAct[], heard: readonly Heard[]): string {
  const kind = KINDS[chosen % 3];
  const tunesAll = (chosen & 0x20) === 0;
  const settings = stageSettings(
    { fuse: 1e9 },
    toSettings({ strategy: STRATEGIES[(chosen >> 2) & 3], limit: (chosen & 0x10) === 0 ? 5 : 7 }),
  );
  const stage = new Stage({
    ...settings,
    inputs: [{ ...settings.inputs[0], channels: tunesAll ? ALL_CHANNELS : SOME_CHANNELS }],
    outlets: [{ ...settings.outlets[0], kind, wire: (chosen & 0x40) === 0 ? DEFAULT_OUTLET.wire : 'din' }],
  });
  const sent = listen(stage);
  for (const act of acts) play(stage, act, sent);
  const system = sent.messages.filter(([status]) => status >= 0xf0);
  const { counters } = stage.session;
  stage.session.stop();
  must(counters.faults === 0, () => `a fault: ${JSON.stringify(stage.events.at(-1))}`);
  must(counters.mends === 0, () => `${counters.mends} refused messages`);
  must(sent.model.voices.length === 0, () => `sounds on: ${JSON.stringify(sent.model.voices)}`);
  const { noteOns, noteOffs } = sent.model;
  must(
    !tunesAll || sent.replugs > 0 || noteOns === noteOffs,
    () => `${noteOns} note-ons, ${noteOffs} note-offs`,
  );
  if (sent.replugs === 0) {
    const theirs = heard.flatMap(({ messages }) => messages).filter(([status]) => status >= 0xf0);
    const carried = theirs.filter(([status]) => !UNCARRIED.includes(status));
    const ours = system.filter((bytes) => !isTuningOfOurs(bytes, kind));
    const wanted = carried.filter((bytes) => !isTuningOfOurs(bytes, kind));
    must(toText(ours) === toText(wanted), () => `system messages ${toText(ours)}, not ${toText(wanted)}`);
    const { refusedMessages } = stage.session.outlets[0].sink;
    const refused = theirs.length - carried.length;
    must(refusedMessages === refused, () => `${refusedMessages} refused, not ${refused}`);
  }
  const events = new Set(stage.told());
  return `${kind} ${tunesAll} ${[...events].sort().join(' ')} ${toManner(heard)}`;
}

/** A synth that has heard everything since it was there. */
interface Sent {
  model: SynthModel;
  messages: number[][];
  replugs: number;
}

function listen(stage: Stage, sent: Sent = { model: new SynthModel(), messages: [], replugs: 0 }): Sent {
  const { synth } = stage;
  synth.receive = (bytes) => {
    if (!synth.isPlugged) return;
    sent.messages.push([...bytes]);
    if (bytes[0] < 0xf0) sent.model.channel(bytes[0], bytes[1], bytes[2] ?? 0);
    else sent.model.system(bytes);
    sent.model.log.length = 0;
  };
  return sent;
}

function play(stage: Stage, act: LiveAct, sent: Sent): void {
  switch (act.kind) {
    case 'bytes':
      stage.wait(act.waitMs);
      stage.keys.feed(...act.bytes);
      break;
    case 'panic':
      stage.session.panic();
      must(sent.model.voices.length === 0, () => 'sounds on after a panic');
      break;
    case 'keys':
      stage.keys.unplug();
      stage.wait(600);
      must(sent.model.voices.length === 0, () => 'sounds on after the keyboard has gone');
      stage.keys = stage.machine.plugKeys('Keys');
      stage.wait(600);
      break;
    case 'synth':
      stage.synth.unplug();
      stage.wait(600);
      stage.synth = stage.machine.plugSynth('Synth');
      sent.model = new SynthModel();
      sent.replugs++;
      listen(stage, sent);
      stage.wait(600);
      break;
  }
}

/** A tuning change such as `mts` sends itself: what comes in like it can't be told from it. */
function isTuningOfOurs(bytes: readonly number[], kind: (typeof KINDS)[number]): boolean {
  return kind === 'mts' && bytes[0] === 0xf0 && bytes[1] === 0x7f && bytes[3] === 8;
}

function toText(messages: readonly (readonly number[])[]): string {
  return messages.map((bytes) => Buffer.from(bytes).toString('hex')).join(' ');
}

/** Which statuses there were, and what made no message. */
function toManner(heard: readonly Heard[]): string {
  const kinds = new Set(
    heard.flatMap(({ messages }) => messages.map(([status]) => (status < 0xf0 ? status >> 4 : 15))),
  );
  const odd = (['strayBytes', 'undefinedStatuses', 'incompleteMessages', 'interruptedSysex'] as const).filter(
    (name) => heard.some((one) => one[name] > 0),
  );
  return `${kinds.size} ${odd.join(' ')}`;
}
