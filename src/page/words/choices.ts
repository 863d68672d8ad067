import { type Setting, toPrimes, toWords } from '../../core/settings/index.js';

/** The choice of tonics: every key in its usual spellings. */
const TONICS = ['C', 'C♯', 'D♭', 'D', 'D♯', 'E♭', 'E', 'F', 'F♯', 'G♭', 'G', 'G♯', 'A♭', 'A', 'B♭', 'B'];

/**
 * The choices of a setting on the page, each with its name there.
 * @param current the present value: always among them, even if it can't be chosen on the page
 * @example toChoices(SETTINGS.tuning.held, 'follow')  // [['follow', 'glide along'], ['stay', 'keep their pitch']]
 */
export function toChoices(
  setting: Setting,
  current: string | number,
): [value: string | number, name: string][] {
  const choices = listChoices(setting);
  if (choices.some(([value]) => value === current)) return choices;
  return setting.kind === 'scale'
    ? [...choices, [current, 'your own scale']]
    : [[current, String(current)], ...choices];
}

function listChoices(setting: Setting): [value: string | number, name: string][] {
  switch (setting.kind) {
    case 'word':
      return toWords(setting).map((word) => [word, setting.words[word] || word]);
    case 'prime':
      return toPrimes(setting).map((prime) => [prime, String(prime)]);
    case 'scale':
      return Object.entries(setting.names);
    case 'tonic':
      return TONICS.map((tonic) => [tonic, tonic]);
    default:
      return [];
  }
}
