/** A well-known pump: formula, key, what it needs, and who wrote of it, where known. */
export interface ClassicPump {
  readonly name: string;
  readonly formula: string;
  readonly about: string;
}

/** The classic pumps. Their drifts are computed, not written here. */
export const CLASSIC_PUMPS: readonly ClassicPump[] = [
  {
    name: 'turnaround',
    formula: 'I vi ii V',
    about: 'the round of countless songs: each chord shares a note with the next, and the tonic sinks',
  },
  {
    name: 'huygens',
    formula: 'I IV ii V',
    about: 'C F D G C, by whose letters Christiaan Huygens showed in the 17th century that singers must sink',
  },
  { name: 'rising', formula: 'I V ii vi', about: 'the turnaround backward: the tonic rises' },
  {
    name: 'five-steps',
    formula: '3/2 3/4 3/2 3/4 4/5',
    about: 'up a fifth, down a fourth, twice, and down a third: a melody that rises',
  },
  {
    name: 'held-soprano',
    formula: 'C G D Am',
    about: 'each new chord is sung to a note that is held; a puzzle of the 16th century',
  },
  { name: 'thirds-up', formula: '5/4 5/4 5/4', about: 'three major thirds are less than an octave' },
  { name: 'thirds-down', formula: '4/5 4/5 4/5', about: 'the same the other way' },
  { name: 'minor-thirds-up', formula: '6/5 6/5 6/5 6/5', about: 'four minor thirds are more than an octave' },
  { name: 'minor-thirds-down', formula: '5/6 5/6 5/6 5/6', about: 'the same the other way' },
  {
    name: 'fifths-up',
    formula: '3/2 3/4 3/2 3/4 3/2 3/4 3/4 3/2 3/4 3/2 3/4 3/4',
    about: 'twelve fifths are more than seven octaves',
  },
  {
    name: 'fifths-down',
    formula: '4/3 2/3 4/3 2/3 4/3 4/3 2/3 4/3 2/3 4/3 2/3 4/3',
    about: 'the circle the other way',
  },
  {
    name: 'sevenths',
    formula: 'C7 F7 G7',
    about: 'each chord 4:5:6:7: F as the seventh of G7 is lower than F as a root',
  },
  {
    name: 'tritone-up',
    formula: 'G7 10/7 Db7 10/7',
    about: 'two sevenths a tritone apart: the third is tied and becomes the seventh',
  },
  {
    name: 'tritone-down',
    formula: 'G7 7/5 Db7 7/5',
    about: 'the same, but the seventh is tied and becomes the third',
  },
];
