import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { formatMidiFile } from '../../../../src/core/midi/index.js';
import {
  type PumpScore,
  parseFormula,
  toPump,
  toPumpFile,
  toVoicings,
} from '../../../../src/core/score/index.js';

/** What another reader finds in the file of a formula. */
function write(text: string, options: Partial<PumpScore> = {}, count: 3 | 4 = 4) {
  const formula = parseFormula(text, { keyClass: 0, fifths: 0 });
  const pump = formula.ok ? toPump(formula.value) : formula;
  if (!pump.ok) throw new Error(pump.problem.message);
  const voicings = toVoicings(pump.value, count);
  if (!voicings.ok) throw new Error(voicings.problem.message);
  const score = {
    title: text,
    voicings: voicings.value,
    passes: 2,
    secondsPerChord: 2,
    tied: true,
    ...options,
  };
  const { header, tracks } = parseMidi(formatMidiFile(toPumpFile(pump.value, score)));
  const timed = tracks.map((track) => {
    let tick = 0;
    return track.map((event) => {
      tick += event.deltaTime;
      return { tick, event };
    });
  });
  return { header, timed, voicings: voicings.value, pump: pump.value };
}

/** The notes of a track: start, end and key, in chords. */
function notesOf(track: ReturnType<typeof write>['timed'][number]) {
  const notes: [start: number, end: number, key: number][] = [];
  for (const { tick, event } of track) {
    if (event.type === 'noteOn') notes.push([tick / 1920, -1, event.noteNumber]);
    if (event.type === 'noteOff') {
      const note = notes.find(([, end, key]) => end < 0 && key === event.noteNumber);
      if (note !== undefined) note[1] = tick / 1920;
    }
  }
  return notes;
}

describe('the pump file of the turnaround in two passes', () => {
  const { header, timed, voicings, pump } = write('I vi ii V');

  test('has a track for the whole and one for each voice, the highest first, each on a separate channel', () => {
    expect([header.format, timed.length]).toEqual([1, 5]);
    const names = timed.map((track) => track.find(({ event }) => event.type === 'trackName')?.event);
    expect(names.map((event) => (event?.type === 'trackName' ? event.text : ''))).toEqual(
      'I vi ii V, Soprano, Alto, Tenor, Bass'.split(', '),
    );
    const channels = timed.slice(1).map((track) => track.find(({ event }) => event.type === 'noteOn')?.event);
    expect(channels.map((event) => (event?.type === 'noteOn' ? event.channel : -1))).toEqual([0, 1, 2, 3]);
  });

  test('has two seconds a chord, a marker at each pass, and the names of the chords', () => {
    const lead = timed[0].map(({ tick, event }) => [tick / 1920, event] as const);
    expect(lead.flatMap(([at, event]) => (event.type === 'marker' ? [[at, event.text]] : []))).toEqual([
      [0, 'pass 1'],
      [4, 'pass 2'],
      [8, 'end'],
    ]);
    expect(lead.flatMap(([, event]) => (event.type === 'text' ? [event.text] : [])).join(' ')).toBe(
      'C Am Dm G C Am Dm G C',
    );
    const tempo = lead.find(([, event]) => event.type === 'setTempo')?.[1];
    expect(tempo?.type === 'setTempo' && tempo.microsecondsPerBeat).toBe(500_000);
  });

  test('sounds each chord as it was set, to the end of the last', () => {
    const voices = timed.slice(1).reverse().map(notesOf);
    for (let chord = 0; chord <= 8; chord++) {
      const sounding = voices.map((notes) =>
        notes.filter(([start, end]) => start <= chord && end > chord).map(([, , key]) => key),
      );
      expect(sounding).toEqual(voicings[chord % 4].map((key) => [key]));
    }
    expect(Math.max(...voices.flat().map(([, end]) => end))).toBe(9);
  });

  test('has one long note for each note in common, and for no other', () => {
    const voices = timed.slice(1).reverse().map(notesOf);
    voices.forEach((notes, voice) => {
      for (let chord = 1; chord <= 8; chord++) {
        const [before, here] = [voicings[(chord - 1) % 4][voice], voicings[chord % 4][voice]];
        const isHeld = before === here && pump.moves[(chord - 1) % 4].held.includes(here % 12);
        expect(notes.some(([start]) => start === chord)).toBe(!isHeld);
      }
    });
  });
});

test('a pump file with restruck notes begins every chord in every voice', () => {
  const { timed } = write('I vi ii V', { tied: false, passes: 1 });
  for (const track of timed.slice(1)) expect(notesOf(track).map(([start]) => start)).toEqual([0, 1, 2, 3, 4]);
});

test('a pump file restrikes a key that two chords have a comma apart, tied or not', () => {
  const { timed, voicings, pump } = write('C7 Gm C7 C', { passes: 1 });
  expect(pump.moves[0].shifted).toEqual([10]);
  const voice = voicings[0].findIndex((key, i) => key % 12 === 10 && voicings[1][i] === key);
  if (voice >= 0) expect(notesOf(timed[4 - voice]).some(([start]) => start === 1)).toBe(true);
  const all = timed.slice(1).flatMap(notesOf);
  expect(all.filter(([start, end, key]) => key % 12 === 10 && start < 1 && end > 1)).toEqual([]);
});

test.each([0.1, 1, 60])('a pump file has %f seconds a chord', (secondsPerChord) => {
  const { timed } = write('I V', { secondsPerChord });
  const tempo = timed[0].find(({ event }) => event.type === 'setTempo')?.event;
  expect(tempo?.type === 'setTempo' && tempo.microsecondsPerBeat).toBe(secondsPerChord * 250_000);
});

test('a pump file has three voices if it should', () =>
  expect(write('I IV V7 I'.replace('V7', 'I'), {}, 3).timed.length).toBe(4));

test("a pump file's title has one byte a character: accidentals become letters, other characters question marks", () => {
  const { timed } = write('I vi ii V', { title: 'In B♭ and F♯, é – 音' });
  const names = timed.flat().flatMap(({ event }) => (event.type === 'trackName' ? [event.text] : []));
  expect(names[0]).toBe('In Bb and F#, é ? ?');
});
