/** How a note swells and fades, in seconds; `sustain` is the level it stays at, 0 for one that dies away. */
export interface Envelope {
  readonly attack: number;
  readonly decay: number;
  readonly sustain: number;
  readonly release: number;
}

/**
 * A timbre, the same on the page and in a file. All have many strong harmonics, so that beats and their absence are
 * plain.
 */
export interface Voice {
  readonly name: VoiceName;
  readonly words: string;
  readonly envelope: Envelope;
  /** Strength of each harmonic from the first, for a note of `hertz`. */
  readonly harmonics: (hertz: number) => readonly number[];
}

/** The names of the voices, the default first. */
export const VOICE_NAMES = ['reed', 'bowed', 'sung', 'struck'] as const;

export type VoiceName = (typeof VOICE_NAMES)[number];

const COUNT = 32;

/** Resonances of an open "ah": hertz, width in hertz, strength. */
const FORMANTS = [
  [730, 130, 1],
  [1090, 160, 0.7],
  [2440, 240, 0.35],
] as const;

const row = (strength: (n: number) => number) => Array.from({ length: COUNT }, (_, i) => strength(i + 1));

/** The voices, in the order of their names above. */
export const VOICES: readonly Voice[] = [
  {
    name: 'reed',
    words: 'reed organ',
    envelope: { attack: 0.03, decay: 0.1, sustain: 0.9, release: 0.09 },
    harmonics: () => row((n) => (n % 2 === 0 ? 0.75 : 1) / n ** 0.85),
  },
  {
    name: 'bowed',
    words: 'bowed strings',
    envelope: { attack: 0.12, decay: 0.2, sustain: 0.9, release: 0.18 },
    harmonics: () => row((n) => 1 / n),
  },
  {
    name: 'sung',
    words: 'voices',
    envelope: { attack: 0.09, decay: 0.2, sustain: 0.9, release: 0.16 },
    harmonics: (hertz) => row((n) => toFormantStrength(n * hertz) / n ** 0.4),
  },
  {
    name: 'struck',
    words: 'struck strings',
    envelope: { attack: 0.004, decay: 2.2, sustain: 0, release: 0.25 },
    harmonics: () => row((n) => 1 / n ** 1.3),
  },
];

/** A voice by its name. An unknown name gives the first voice: settings are checked where they are read. */
export function toVoice(name: string): Voice {
  return VOICES.find((voice) => voice.name === name) ?? VOICES[0];
}

function toFormantStrength(hertz: number): number {
  // The floor leaves every harmonic strong enough to beat against.
  return FORMANTS.reduce(
    (sum, [at, width, strength]) => sum + strength / (1 + ((hertz - at) / width) ** 2),
    0.08,
  );
}
