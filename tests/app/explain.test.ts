import { expect, test } from 'vitest';
import { explain, toBarAndBeat } from '../../src/app/explain.js';
import { toExplanationJson } from '../../src/app/explanation-json.js';
import { retune } from '../../src/app/retune.js';
import { META, type MidiFile, type TrackEvent, toMetreMap } from '../../src/core/midi/index.js';
import { DEFAULT_PLAN, type Planning } from '../../src/core/score/index.js';
import { formatRatio } from '../../src/core/theory/index.js';
import { toSettings } from '../../src/core/tuner/index.js';
import { buildMidi, PUMP } from '../support/build-midi.js';
import { numbers } from '../support/numbers.js';

const FREE = toSettings({ strategy: 'free' });

function withMetre(numerator: number, denominatorPower: number): MidiFile {
  const file = buildMidi(PUMP);
  const event: TrackEvent = {
    kind: 'meta',
    tick: 0,
    type: META.timeSignature,
    data: Uint8Array.of(numerator, denominatorPower, 24, 8),
  };
  const [track] = file.chunks;
  if (track.kind !== 'track') throw new Error('no track');
  return { ...file, chunks: [{ kind: 'track', events: [event, ...track.events] }] };
}

test('every strike is a moment of the explanation, at its bar and beat', () => {
  const [piece] = explain(buildMidi(PUMP), FREE, DEFAULT_PLAN);
  expect(piece.moments.map(({ bar, beat, atMs }) => [bar, beat, atMs])).toEqual(
    numbers('1 1 0, 2 1 2000, 3 1 4000, 4 1 6000, 5 1 8000'),
  );
  expect(piece.moments.map(({ drift }) => formatRatio(drift.commas)).at(-1)).toBe('80/81');
  expect(piece.parts).toEqual([{ track: 1, channel: 1, name: '', role: 'tuned' }]);
});

test.each<[Planning, string]>([
  ['live', '80/81'],
  [DEFAULT_PLAN, '80/81'],
  [{ end: 'home', smoothSeconds: 5 }, '1/1'],
])('explain shows what retune makes of a piece, planned: %j', (plan, drift) => {
  const file = buildMidi(PUMP);
  const settings = toSettings({});
  const [{ moments, planning }] = explain(file, settings, plan);
  expect(planning).toBe(plan);
  const played: string[] = [];
  retune(
    file,
    { settings, outlet: { kind: 'mpe', bendRange: undefined }, plan },
    { end: (_, note) => played.push(formatRatio(note.point)) },
  );
  const told = moments.flatMap(({ notes }) => notes.filter(({ presence }) => presence === 'struck'));
  expect(told.map(({ point }) => formatRatio(point)).sort()).toEqual(played.sort());
  expect(moments.map((moment) => formatRatio(moment.drift.commas)).at(-1)).toBe(drift);
});

test('bars choose what is explained, not what is played', () => {
  const [whole] = explain(buildMidi(PUMP), FREE, DEFAULT_PLAN);
  const [part] = explain(buildMidi(PUMP), FREE, DEFAULT_PLAN, { from: 3, to: 4 });
  expect(part.moments).toEqual(whole.moments.slice(2, 4));
  expect([part.momentCount, part.lastBar]).toEqual([5, 5]);
  expect(part.closing).toEqual([]);
});

test.each([
  [4, 2, 240, { bar: 1, beat: 1.5 }],
  [4, 2, 480 * 5 + 120, { bar: 2, beat: 2.25 }],
  [6, 3, 720, { bar: 1, beat: 4 }],
  [6, 3, 60, { bar: 1, beat: 1.25 }],
  [1, 2, 480 + 240, { bar: 2, beat: 1.5 }],
])('beats with their fraction are right in %i over 2^%i at tick %i', (numerator, power, tick, place) => {
  expect(toBarAndBeat(toMetreMap(withMetre(numerator, power)), tick)).toEqual(place);
});

test('each track of a format 2 file is explained as a separate piece', () => {
  const one = buildMidi(PUMP);
  const pieces = explain({ ...one, format: 2, chunks: [one.chunks[0], one.chunks[0]] }, FREE, DEFAULT_PLAN);
  expect(pieces.map(({ track, moments }) => [track, moments.length])).toEqual([
    [1, 5],
    [2, 5],
  ]);
});

test('a file without a track explains nothing, and still makes JSON', () => {
  const file: MidiFile = { ...buildMidi([]), format: 2, chunks: [] };
  const pieces = explain(file, FREE, DEFAULT_PLAN);
  expect(toExplanationJson('none.mid', FREE, DEFAULT_PLAN, [], pieces)).toMatchObject({
    version: 2,
    plan: { end: 'open', smoothSeconds: DEFAULT_PLAN.smoothSeconds },
    pieces: [],
  });
});

test('the pure seventh of a dominant chord says which harmonic of which root it is', () => {
  const seventh = buildMidi(numbers('0 4 48, 0 4 64, 0 4 67, 0 4 70'));
  const settings = toSettings({ strategy: 'free', limit: 7 });
  const pieces = explain(seventh, settings, 'live');
  const { plan, pieces: told } = toExplanationJson('seventh.mid', settings, 'live', [], pieces);
  expect(plan).toBeNull();
  const [{ moments }] = told;
  const notes = moments[0].notes.map(({ toBass, harmonicOf }) => [toBass, harmonicOf]);
  expect(notes).toEqual([
    ['1/1', null],
    ['5/2', null],
    ['3/1', null],
    ['7/2', { root: 'C⁰', harmonic: 7 }],
  ]);
});
