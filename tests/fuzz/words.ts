import { makePump } from '../../src/app/pump.js';
import { readValue } from '../../src/cli/settings/read-value.js';
import { formatMidiFile, parseMidiFile } from '../../src/core/midi/index.js';
import type { Outcome } from '../../src/core/outcome.js';
import { CLASSIC_PUMPS, parseFormula } from '../../src/core/score/index.js';
import { TUNER } from '../../src/core/settings/index.js';
import {
  equal,
  formatRatio,
  noteName,
  parseA4,
  parseHomeList,
  parseNoteName,
  parseRatio,
  parseTonic,
} from '../../src/core/theory/index.js';
import { mutateText, toBytes, toText } from './mutate-text.js';
import { must, type Target } from './target.js';

const TONIC = { keyClass: 0, fifths: 0 };
const ORIGIN = { fifths: 0 };
const FIRST = [
  ...CLASSIC_PUMPS.map(({ formula }) => formula),
  ...[
    ...'27/20 5:4 3 2^-400·3^400·5^-100 C⁰ E⁻¹ B♭⁰₇ Bb4^0_7+11(2)-13 F#'.split(' '),
    'C Am F 9/8 G7',
    '-m3 +P4 +P4 -P5',
  ],
  ...['440', '415.3', '1/1 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 9/5 15/8', '100c 200.5 3/2', 'meantone'],
];
const WORDS = [
  ...'I ii IV V7 vii bVI ♯iv C Am F#m Bb B♭♭ G7 min P5 -m3 +M6 −'.split(' '),
  ...'/ : ^ · * ( ) ₇ ⁻¹ _ # b ♭ c'.split(' '),
  ...[' ', ',', '|', '→', '–', '\n', '\0', '0', '9'.repeat(130), '999999999', '13', '17'],
];

/**
 * What people write by hand: ratios, names of notes and tonics, home scales, the pitch of a', and formulas of pumps. Each is
 * read or refused with a code and a sentence; what was read is written and read again the same; a pump is written whole.
 */
export const words: Target = {
  name: 'words',
  share: 80,
  first: FIRST.map(toBytes),
  generate: (random, known) => mutateText(random, random.pick(known), random.pick(known), WORDS),
  check(input) {
    const text = toText(input);
    const ratio = parseRatio(text);
    if (ratio.ok) {
      const again = parseRatio(formatRatio(ratio.value));
      must(
        again.ok && equal(again.value, ratio.value),
        () => `${text} comes back as ${formatRatio(ratio.value)}`,
      );
    }
    const name = parseNoteName(text, ORIGIN);
    if (name.ok) {
      const written = noteName(name.value.point, ORIGIN, { ascii: true });
      const again = parseNoteName(written, ORIGIN);
      must(again.ok && equal(again.value.point, name.value.point), () => `${text} comes back as ${written}`);
    }
    const formula = parseFormula(text, TONIC);
    const read = {
      ratio,
      name,
      tonic: parseTonic(text),
      a4: parseA4(text),
      list: parseHomeList(text),
      home: readValue(TUNER.home, text, 'option'),
      formula,
    };
    return [
      ...Object.entries(read).map(([what, outcome]) => `${what} ${toWay(outcome)}`),
      formula.ok ? toPumpWay(text) : '',
    ].join(' ');
  },
};

function toPumpWay(text: string): string {
  const made = makePump({
    text,
    tonic: TONIC,
    voices: 4,
    passes: 2,
    secondsPerChord: 1,
    tied: text.length % 2 === 0,
  });
  if (!made.ok) return toWay(made);
  const { file, pump } = made.value;
  must(parseMidiFile(formatMidiFile(file)).ok, () => 'a pump that can’t be read');
  return `pump ${pump.limit} ${made.value.isBorneOut}`;
}

function toWay(outcome: Outcome<unknown>): string {
  if (outcome.ok) return 'read';
  const { code, message, advice } = outcome.problem;
  must(
    /^[A-Z0-9_]+$/.test(code) && message.length > 5 && message.length < 400 && advice.length > 10,
    () => `${code} ${message} ${advice}`,
  );
  return code;
}
