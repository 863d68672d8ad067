import { type Setting, toPrimes, toWords } from '../../core/settings/index.js';

/** Tonics one can choose from: every key in its usual spellings. */
const TONICS = ['C', 'C♯', 'D♭', 'D', 'D♯', 'E♭', 'E', 'F', 'F♯', 'G♭', 'G', 'G♯', 'A♭', 'A', 'B♭', 'B'];

/**
 * What one can choose for a setting on the page, each with its name there.
 * @param told what it is now: always among them, though it can only be had elsewhere
 * @example toChoices(SETTINGS.tuning.held, 'follow')  // [['follow', 'glide along'], ['stay', 'keep their pitch']]
 */
export function toChoices(setting: Setting, told: string | number): [value: string | number, name: string][] {
  const choices = listChoices(setting);
  if (choices.some(([value]) => value === told)) return choices;
  return setting.kind === 'scale'
    ? [...choices, [told, 'your own scale']]
    : [[told, String(told)], ...choices];
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
